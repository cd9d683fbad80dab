-- Loses keys, the firms' limits on sessions, and who is signed in.
drop table api_key;
-- A session that has ended of itself, by a firm's own limits, does not begin anew.
alter table session no force row level security;
delete from session;
alter table session force row level security;
alter table session drop column id, drop column seen_at, drop column device;
drop index session_member;
revoke update (session_idle_min, session_absolute_min) on firm from lathmark_server;
alter table firm drop column session_idle_min, drop column session_absolute_min;
