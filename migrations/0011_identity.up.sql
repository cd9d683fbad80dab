-- Who is known by which provider, and by which e-mail one may become known.
alter table member add column email text
  constraint member_email check (email ~ '^[^[:space:]@]+@[^[:space:]@]+$' and length(email) <= 254);
create unique index member_email_key on member (firm_id, email) where left_at is null;
create index member_by_email on member (email) where email is not null;

-- Subjects are an issuer's own names for people; a member has one of each issuer.
create table identity (
  firm_id   uuid not null references firm,
  issuer    text not null check (length(issuer) between 1 and 255),
  subject   text not null check (length(subject) between 1 and 255),
  member_id uuid not null,
  linked_at timestamptz not null,
  primary key (firm_id, issuer, subject),
  unique (firm_id, member_id, issuer),
  foreign key (firm_id, member_id) references member
);
create index identity_by_subject on identity (issuer, subject);

-- A session that came from a provider, for the day the person goes out there.
create table tied_session (
  firm_id   uuid not null references firm,
  hash      bytea not null,
  issuer    text not null,
  subject   text not null,
  sid       text not null default '', -- the provider's own session; '': it named none
  issued_at timestamptz not null,     -- by the provider's clock
  primary key (firm_id, hash),
  foreign key (firm_id, hash) references session on delete cascade
);
create index tied_by_subject on tied_session (issuer, subject);

-- An attempt to come in, once the provider has said who it is. It is of no firm
-- yet: its firm is the zero id. It is there so that nothing is used twice, and
-- while somebody of several firms chooses one.
create table attempt (
  firm_id    uuid not null check (firm_id = '00000000-0000-0000-0000-000000000000'),
  hash       bytea not null check (length(hash) = 32),
  issuer     text not null,
  subject    text not null,
  email      text,
  sid        text not null default '',
  issued_at  timestamptz not null,
  expires_at timestamptz not null,
  done_at    timestamptz,
  primary key (firm_id, hash)
);

do $$
declare
  t text;
begin
  foreach t in array array['identity', 'tied_session', 'attempt'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_firm on %I
      using (firm_id = nullif(current_setting(''lathmark.firm'', true), '''')::uuid)
      with check (firm_id = nullif(current_setting(''lathmark.firm'', true), '''')::uuid)', t);
    execute format('grant select, insert, update, delete on %I to lathmark_server', t);
  end loop;
end $$;

-- Two searches go across firms, because whoever comes in has not said which firm
-- is theirs. Each is a function that runs as the owner, who is bound by policies as
-- everybody is: these let through, for the length of the call, the rows that are
-- exactly those asked for.
create policy asked_identity on identity for select to lathmark_owner
  using (issuer = nullif(current_setting('lathmark.asked_issuer', true), '')
    and subject = nullif(current_setting('lathmark.asked_subject', true), ''));
create policy asked_email on member for select to lathmark_owner
  using (email = nullif(current_setting('lathmark.asked_email', true), ''));
create policy asked_session on tied_session for select to lathmark_owner
  using (issuer = nullif(current_setting('lathmark.asked_issuer', true), '')
    and (subject = nullif(current_setting('lathmark.asked_subject', true), '')
      or sid = nullif(current_setting('lathmark.asked_sid', true), '')));

create function known_by(issuer text, subject text, email text)
returns table (firm_id uuid, member_id uuid)
language plpgsql security definer
set search_path = public, pg_temp
as $$
begin
  perform set_config('lathmark.asked_issuer', known_by.issuer, true),
    set_config('lathmark.asked_subject', known_by.subject, true),
    set_config('lathmark.asked_email', coalesce(known_by.email, ''), true);
  return query
    select i.firm_id, i.member_id from identity i where i.issuer = known_by.issuer and i.subject = known_by.subject
    union
    select m.firm_id, m.id from member m where m.email = known_by.email and m.left_at is null;
  perform set_config('lathmark.asked_issuer', '', true), set_config('lathmark.asked_subject', '', true),
    set_config('lathmark.asked_email', '', true);
end $$;

-- The firms in which a provider's word that somebody went out would end a
-- session that began no later.
create function tied_firms(issuer text, subject text, sid text, until timestamptz)
returns table (firm_id uuid)
language plpgsql security definer
set search_path = public, pg_temp
as $$
begin
  perform set_config('lathmark.asked_issuer', tied_firms.issuer, true),
    set_config('lathmark.asked_subject', tied_firms.subject, true),
    set_config('lathmark.asked_sid', tied_firms.sid, true);
  return query
    select distinct t.firm_id from tied_session t
     where t.issuer = tied_firms.issuer and t.issued_at <= tied_firms.until
       and (tied_firms.subject <> '' or tied_firms.sid <> '')
       and (tied_firms.subject = '' or t.subject = tied_firms.subject)
       and (tied_firms.sid = '' or t.sid = tied_firms.sid);
  perform set_config('lathmark.asked_issuer', '', true), set_config('lathmark.asked_subject', '', true),
    set_config('lathmark.asked_sid', '', true);
end $$;

revoke all on function known_by(text, text, text), tied_firms(text, text, text, timestamptz) from public;
grant execute on function known_by(text, text, text), tied_firms(text, text, text, timestamptz) to lathmark_server;
