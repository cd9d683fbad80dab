-- The public half of a key pair on somebody's device, with which they sign in.
create table passkey (
  firm_id       uuid not null references firm,
  id            uuid not null,
  member_id     uuid not null,
  name          text not null check (name ~ '\S' and length(name) <= 60),
  credential_id bytea not null check (length(credential_id) between 1 and 1023), -- WebAuthn Level 2, section 4
  public_key    bytea not null check (length(public_key) between 1 and 4096),
  sign_count    bigint not null check (sign_count between 0 and 4294967295),
  synced        boolean not null,
  created_at    timestamptz not null,
  used_at       timestamptz,
  primary key (firm_id, id),
  unique (firm_id, credential_id),
  foreign key (firm_id, member_id) references member
);
create index passkey_member on passkey (firm_id, member_id);

-- A challenge that waits for its answer. It is of no firm yet: its firm is the
-- zero id. Only its SHA-256 is kept.
create table passkey_challenge (
  firm_id    uuid not null check (firm_id = '00000000-0000-0000-0000-000000000000'),
  hash       bytea not null check (length(hash) = 32),
  expires_at timestamptz not null,
  primary key (firm_id, hash)
);
create index passkey_challenge_end on passkey_challenge (expires_at);

do $$
declare
  t text;
begin
  foreach t in array array['passkey', 'passkey_challenge'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_firm on %I
      using (firm_id = nullif(current_setting(''lathmark.firm'', true), '''')::uuid)
      with check (firm_id = nullif(current_setting(''lathmark.firm'', true), '''')::uuid)', t);
    execute format('grant select, insert, delete on %I to lathmark_server', t);
  end loop;
end $$;
grant update (sign_count, used_at) on passkey to lathmark_server;
