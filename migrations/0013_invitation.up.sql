-- A code that lets one person into the firm, once. Only the SHA-256 of its secret
-- is kept. One that was taken back, or that ended unused, is deleted.
create table invitation (
  firm_id    uuid not null references firm,
  id         uuid not null,
  hash       bytea not null check (length(hash) = 32),
  made_by    uuid not null,
  role       text not null check (role in ('foreman', 'trade')),
  trade      text check (trade in ('electrician', 'plumber', 'dry_liner', 'plasterer', 'tiler', 'joiner', 'decorator')),
  every_job  boolean not null default false,
  printed    boolean not null default false,
  created_at timestamptz not null,
  -- a day, with the hour of winter time
  expires_at timestamptz not null check (expires_at > created_at and expires_at <= created_at + interval '25 hours'),
  used_at    timestamptz,
  primary key (firm_id, id),
  unique (firm_id, hash),
  foreign key (firm_id, made_by) references member,
  check ((role = 'trade') = (trade is not null)),
  check (role = 'trade' or not every_job)
);

create table invitation_job (
  firm_id       uuid not null references firm,
  invitation_id uuid not null,
  job_id        uuid not null,
  primary key (firm_id, invitation_id, job_id),
  foreign key (firm_id, invitation_id) references invitation on delete cascade,
  foreign key (firm_id, job_id) references job
);

do $$
declare
  t text;
begin
  foreach t in array array['invitation', 'invitation_job'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_firm on %I
      using (firm_id = nullif(current_setting(''lathmark.firm'', true), '''')::uuid)
      with check (firm_id = nullif(current_setting(''lathmark.firm'', true), '''')::uuid)', t);
    execute format('grant select, insert, delete on %I to lathmark_server', t);
  end loop;
end $$;
grant update (used_at) on invitation to lathmark_server;
select limit_to_jobs('invitation_job');
