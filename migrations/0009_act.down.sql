drop table act;
drop function guard_act();
