-- A firm can want owners and foremen to have a passkey. A session says whether it began
-- with one, and when its person last proved who they are: some providers don't say.
alter table firm add column need_passkey boolean not null default false;
grant update (need_passkey) on firm to lathmark_server;

alter table session
  add column by_passkey boolean not null default false,
  add column signed_at timestamptz,
  add constraint session_signed_at_can_be_read check (signed_at between '1900-01-01' and '2199-12-30');
alter table session no force row level security;
update session set signed_at = created_at;
alter table session force row level security;
grant update (by_passkey, signed_at) on session to lathmark_server;

alter table attempt add column signed_at timestamptz,
  add constraint attempt_signed_at_can_be_read check (signed_at between '1900-01-01' and '2199-12-30');
