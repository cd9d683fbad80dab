-- What a server writes to see that it can: a row that fills most of a page, taken out in
-- the same transaction. It is no firm's, nobody ever sees one, and so it stands apart.
create schema pulse;
create table pulse.beat (filler text not null);
alter table pulse.beat alter filler set storage plain;
grant usage on schema pulse to lathmark_server;
grant select, insert, delete on pulse.beat to lathmark_server;

-- Whoever is let go, taken off a job or signed out, by whatever way: pages that listen look
-- at once whether they still may. A word in the transaction holds a lock of all who send
-- one up to the end of the commit, which these few can afford.
create function tell_firm() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform pg_notify('lathmark_change', old.firm_id || ' - - 0');
  return null;
end $$;
create trigger tell after update on firm for each row execute function tell_firm();
create trigger tell after delete on session for each row execute function tell_firm();
