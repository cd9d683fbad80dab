-- What a server writes to see that it can: a row that fills most of a page, taken out in
-- the same transaction. It is nobody's, and nobody ever sees one.
create table pulse (filler text not null);
alter table pulse alter filler set storage plain;
alter table pulse enable row level security;
alter table pulse force row level security;
create policy nobodys on pulse using (true);
grant select, insert, delete on pulse to lathmark_server;
