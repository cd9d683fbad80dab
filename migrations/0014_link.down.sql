-- Loses until when clients' links last.
-- A link that has run out stays so.
alter table client_link no force row level security;
update client_link set ended_at = least(expires_at, now()) where ended_at is null and expires_at <= now();
alter table client_link force row level security;
alter table client_link drop column expires_at;
