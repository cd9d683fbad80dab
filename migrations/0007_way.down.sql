-- Loses the ways of cables.
drop table way;
