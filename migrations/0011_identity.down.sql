-- Loses e-mail addresses and accounts elsewhere.
drop function tied_firms(text, text, text, timestamptz);
drop function known_by(text, text, text);
drop policy asked_email on member;
drop table attempt;
drop table tied_session;
drop table identity;
alter table member drop column email;
