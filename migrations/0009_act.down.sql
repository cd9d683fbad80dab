-- Loses what phones sent, and what waits to be chosen.
drop table act;
drop function guard_act();
