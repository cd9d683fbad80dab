-- Which kinds of acts phones send is said in Go, in the table of deeds.
alter table act drop constraint act_kind_check;
