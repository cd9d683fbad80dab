-- Loses which firms want passkeys.
alter table attempt drop column signed_at;
revoke update (by_passkey, signed_at) on session from lathmark_server;
alter table session drop column by_passkey, drop column signed_at;
revoke update (need_passkey) on firm from lathmark_server;
alter table firm drop column need_passkey;
