drop table api_key;
alter table session drop column id, drop column seen_at, drop column device;
drop index session_member;
revoke update (session_idle_min, session_absolute_min) on firm from lathmark_server;
alter table firm drop column session_idle_min, drop column session_absolute_min;
