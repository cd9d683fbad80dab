-- When who comes: what a firm has said that its programme rests on, and the programme that
-- was worked out last.
create table week (
  firm_id uuid not null references firm,
  days    boolean[] not null check (array_length(days, 1) = 7), -- from Sunday; all false: Monday to Friday
  region  text not null default '' check (length(region) <= 60),
  primary key (firm_id)
);

-- The bank holidays of a region that does not come with the program.
create table holiday (
  firm_id uuid not null references firm,
  on_day  date not null,
  name    text not null check (length(name) <= 120),
  primary key (firm_id, on_day)
);

-- People of one trade who come together. days as week.days; all false: the firm's.
create table crew (
  firm_id   uuid not null references firm,
  id        uuid not null,
  trade     text not null
    check (trade in ('electrician', 'plumber', 'dry_liner', 'plasterer', 'tiler', 'joiner', 'decorator')),
  name      text not null check (name ~ '\S' and length(name) <= 120),
  people    int not null check (people between 1 and 20),
  days      boolean[] not null check (array_length(days, 1) = 7),
  member_id uuid,
  saved_at  timestamptz not null,
  ended_at  timestamptz,
  primary key (firm_id, id),
  foreign key (firm_id, member_id) references member
);
create index crew_member on crew (firm_id, member_id);

-- A time in which a crew does not come, or, where it names none, nobody of the firm works.
create table away (
  firm_id  uuid not null references firm,
  id       uuid not null,
  crew_id  uuid,
  from_day date not null,
  to_day   date not null check (to_day >= from_day),
  why      text not null default '' check (length(why) <= 400),
  said_by  uuid, -- null: from a link, without an account
  said_at  timestamptz not null,
  primary key (firm_id, id),
  foreign key (firm_id, crew_id) references crew,
  foreign key (firm_id, said_by) references member
);
create index away_crew on away (firm_id, crew_id);

-- How many quarters of a day a trade takes for one unit of a stage's work.
create table rate (
  firm_id uuid not null references firm,
  trade   text not null
    check (trade in ('electrician', 'plumber', 'dry_liner', 'plasterer', 'tiler', 'joiner', 'decorator')),
  stage   text not null check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  least   double precision not null check (least > 0),
  likely  double precision not null check (likely >= least),
  most    double precision not null check (most >= likely and most <= 1000),
  primary key (firm_id, trade, stage)
);

-- A piece of work that somebody has put on a day.
create table pin (
  firm_id   uuid not null references firm,
  room_id   uuid not null,
  stage     text not null check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  trade     text not null
    check (trade in ('electrician', 'plumber', 'dry_liner', 'plasterer', 'tiler', 'joiner', 'decorator')),
  on_day    date not null,
  pinned_by uuid,
  pinned_at timestamptz not null,
  primary key (firm_id, room_id, stage, trade),
  foreign key (firm_id, room_id) references room on delete cascade,
  foreign key (firm_id, pinned_by) references member
);

-- A day that was given to the client or to a trade. It is never changed and never taken
-- out: another that is given in its place names it, with the reason.
create table promise (
  firm_id    uuid not null references firm,
  id         uuid not null,
  job_id     uuid not null,
  room_id    uuid,
  to_trade   text not null check (to_trade in ('client', 'electrician', 'plumber', 'dry_liner', 'plasterer', 'tiler',
    'joiner', 'decorator')),
  stage      text not null check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  on_day     date not null,
  given_by   uuid not null,
  given_at   timestamptz not null,
  in_place_of uuid,
  why        text not null default '' check (length(why) <= 400),
  primary key (firm_id, id),
  unique (firm_id, job_id, id),
  unique (firm_id, in_place_of),
  foreign key (firm_id, job_id) references job,
  foreign key (firm_id, job_id, room_id) references room (firm_id, job_id, id),
  foreign key (firm_id, job_id, in_place_of) references promise (firm_id, job_id, id),
  foreign key (firm_id, given_by) references member,
  check (in_place_of is null or why ~ '\S'),
  check (in_place_of is distinct from id)
);
create index promise_room on promise (firm_id, room_id);

-- What has to arrive, or to be decided, before a stage begins.
create table owed (
  firm_id  uuid not null references firm,
  id       uuid not null,
  room_id  uuid not null,
  stage    text not null check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  what     text not null check (what ~ '\S' and length(what) <= 200),
  lead     int not null check (lead between 0 and 730),
  by_trade text not null check (by_trade in ('client', 'foreman')),
  since    date,
  came     date,
  saved_at timestamptz not null,
  primary key (firm_id, id),
  foreign key (firm_id, room_id) references room on delete cascade
);
create index owed_room on owed (firm_id, room_id);

-- What goes into a room is carried through another.
create table through (
  firm_id uuid not null references firm,
  room_id uuid not null,
  by_room uuid not null check (by_room <> room_id),
  primary key (firm_id, room_id, by_room),
  foreign key (firm_id, room_id) references room on delete cascade,
  foreign key (firm_id, by_room) references room on delete cascade
);
create index through_by on through (firm_id, by_room);

-- A crew's word that it will be at a job on a day.
create table coming (
  firm_id uuid not null references firm,
  crew_id uuid not null,
  job_id  uuid not null,
  on_day  date not null,
  said_by uuid,
  said_at timestamptz not null,
  primary key (firm_id, crew_id, job_id, on_day),
  foreign key (firm_id, crew_id) references crew,
  foreign key (firm_id, job_id) references job,
  foreign key (firm_id, said_by) references member
);
create index coming_job on coming (firm_id, job_id);

-- A private address at which a crew reads its visits and says that it comes or cannot, or a
-- calendar reads those of a member. Only the SHA-256 of its secret is kept.
create table visit_link (
  firm_id    uuid not null references firm,
  hash       bytea not null check (length(hash) = 32),
  crew_id    uuid,
  member_id  uuid,
  created_at timestamptz not null,
  expires_at timestamptz not null check (expires_at > created_at),
  ended_at   timestamptz,
  primary key (firm_id, hash),
  foreign key (firm_id, crew_id) references crew,
  foreign key (firm_id, member_id) references member,
  check (num_nonnulls(crew_id, member_id) = 1)
);
create index visit_link_crew on visit_link (firm_id, crew_id) where crew_id is not null;
create index visit_link_member on visit_link (firm_id, member_id) where member_id is not null;

-- What was worked out last, with what it rests on: sums that move on with the firm, its
-- diaries and its rooms, and the day. One that another version wrote is worked out again.
create table programme (
  firm_id   uuid not null references firm,
  made_at   timestamptz not null,
  today     date not null,
  people    bigint not null,
  entries   bigint not null,
  revisions bigint not null,
  version   int not null,
  answer    bytea not null,
  primary key (firm_id)
);

do $$
declare
  t text;
  c record;
begin
  foreach t in array array['week', 'holiday', 'crew', 'away', 'rate', 'pin', 'promise', 'owed', 'through', 'coming',
    'visit_link', 'programme']
  loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_firm on %I
      using (firm_id = nullif(current_setting(''lathmark.firm'', true), '''')::uuid)
      with check (firm_id = nullif(current_setting(''lathmark.firm'', true), '''')::uuid)', t);
    execute format('grant select, insert on %I to lathmark_server', t);
    if t not in ('promise', 'through', 'holiday') then
      execute format('grant update on %I to lathmark_server', t);
    end if;
    if t in ('away', 'rate', 'pin', 'owed', 'through', 'holiday') then
      execute format('grant delete on %I to lathmark_server', t);
    end if;
    if t in ('week', 'crew', 'away', 'rate') then -- they are in no job's diary
      execute format('create trigger touch_firm after insert or update or delete on %I for each row
        execute function touch_firm()', t);
    end if;
    if t in ('pin', 'promise', 'owed', 'through', 'coming') then
      perform limit_to_jobs(t);
    end if;
    for c in select a.attname::text as col, format_type(a.atttypid, a.atttypmod) as type from pg_attribute a
      where a.attrelid = t::regclass and a.attnum > 0
    loop -- what nobody can read is not written: see 0021
      if c.type in ('timestamp with time zone', 'date') then
        execute format('alter table %I add constraint %I check (%I between %L and %L)', t,
          t || '_' || c.col || '_can_be_read', c.col, '1900-01-01', '2199-12-30');
      elsif c.type = 'double precision' then
        execute format('alter table %I add constraint %I check (%I between -1e6 and 1e6)', t,
          t || '_' || c.col || '_can_be_read', c.col);
      elsif c.type = 'text' and c.col = 'name' then
        execute format('alter table %I add constraint %I check (%I !~ %L)', t,
          t || '_' || c.col || '_can_be_read', c.col, '[\x01-\x1f\x7f]');
      end if;
    end loop;
  end loop;
end $$;

-- What is promised stays, whoever asks.
create function guard_promise() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  raise exception using errcode = 'LM004', message = 'A day that was promised is never changed and never taken out.';
end $$;
create trigger guard before update or delete on promise for each row execute function guard_promise();

-- The crew of one who leaves comes no more.
create function end_crew_of() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  update crew set ended_at = new.left_at
   where firm_id = new.firm_id and member_id = new.id and ended_at is null;
  update visit_link set ended_at = new.left_at
   where firm_id = new.firm_id and member_id = new.id and ended_at is null;
  return null;
end $$;
create trigger end_crew after update of left_at on member
  for each row when (old.left_at is null and new.left_at is not null) execute function end_crew_of();

-- Which firms there are, for whoever works out their programmes. It runs as the owner, who
-- is bound by policies as everybody is: this one lets ids through for the length of the call.
create policy asked_firms on firm for select to lathmark_owner
  using (current_setting('lathmark.asked_firms', true) = 'true');
create function every_firm() returns setof uuid
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  perform set_config('lathmark.asked_firms', 'true', true);
  return query select f.firm_id from firm f order by f.firm_id;
  perform set_config('lathmark.asked_firms', '', true);
end $$;
revoke execute on function every_firm() from public;
grant execute on function every_firm() to lathmark_server;
