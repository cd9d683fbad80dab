-- Loses no record.
drop trigger tell on session;
drop trigger tell on firm;
drop function tell_firm();
drop schema pulse cascade;
