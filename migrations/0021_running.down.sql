drop table pulse;
