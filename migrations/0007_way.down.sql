drop table way;
