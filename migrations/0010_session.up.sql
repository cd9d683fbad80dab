-- How long a session lasts without being used, and at most, as the firm wants
-- it; and what people see of their own sessions.
alter table firm
  add column session_idle_min int not null default 20160
    check (session_idle_min between 15 and 86400),
  add column session_absolute_min int not null default 86400
    check (session_absolute_min between 60 and 259200),
  add constraint firm_session_limits check (session_idle_min <= session_absolute_min);
grant update (session_idle_min, session_absolute_min) on firm to lathmark_server;

-- id names a session to its owner; the hash is that of the secret and leaves
-- the database never. device is coarse: "Chrome on Android".
alter table session
  add column id uuid not null default gen_random_uuid(),
  add column seen_at timestamptz not null default now(),
  add column device text not null default '' check (length(device) <= 60),
  add constraint session_firm_id_id_key unique (firm_id, id);
create index session_member on session (firm_id, member_id);

-- A key with which another program asks in a member's name. Only the SHA-256 of
-- its secret is kept.
create table api_key (
  firm_id    uuid not null references firm,
  id         uuid not null,
  hash       bytea not null check (length(hash) = 32),
  member_id  uuid not null,
  name       text not null check (name ~ '\S' and length(name) <= 60),
  scope      text not null check (scope in ('read', 'record', 'run')),
  created_at timestamptz not null,
  expires_at timestamptz not null check (expires_at > created_at),
  used_at    timestamptz,
  primary key (firm_id, id),
  unique (firm_id, hash),
  foreign key (firm_id, member_id) references member
);
create index api_key_member on api_key (firm_id, member_id);
alter table api_key enable row level security;
alter table api_key force row level security;
create policy own_firm on api_key
  using (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid)
  with check (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid);
grant select, insert, delete on api_key to lathmark_server;
grant update (used_at) on api_key to lathmark_server;
