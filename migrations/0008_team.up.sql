-- Who works on which job. An owner and a foreman see every job of the firm; of
-- the others one sees every job where it says so, else those named here.
alter table member add column every_job boolean not null default false
  constraint member_every_job check (role = 'trade' or not every_job);

create table member_job (
  firm_id   uuid not null references firm,
  member_id uuid not null,
  job_id    uuid not null,
  named_at  timestamptz not null,
  primary key (firm_id, member_id, job_id),
  foreign key (firm_id, member_id) references member,
  foreign key (firm_id, job_id) references job
);
alter table member_job enable row level security;
alter table member_job force row level security;
create policy own_firm on member_job
  using (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid)
  with check (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid);
grant select, insert, delete on member_job to lathmark_server;

-- Until now every trade saw every job, and goes on doing so, but for whom the way down
-- says otherwise. The policies bind the owner of the tables too, who looks past them for
-- this one statement.
alter table member no force row level security, add column if not exists was_limited boolean not null default false;
update member set every_job = true where role = 'trade' and not was_limited;
alter table member force row level security, drop column was_limited;

-- ask_as begins a transaction of a member, or of the firm itself where there is
-- none: it names the firm and the jobs that the policies let through, until the
-- transaction ends. Somebody who has left, or who is of another firm, has none.
create function ask_as(firm uuid, member uuid, out every_job boolean, out jobs uuid[])
language plpgsql set search_path = public, pg_temp as $$
begin
  perform set_config('lathmark.firm', firm::text, true);
  select coalesce(bool_or(m.role in ('owner', 'foreman') or m.every_job), false) or ask_as.member is null into every_job
    from member m where m.firm_id = ask_as.firm and m.id = ask_as.member and m.left_at is null;
  select coalesce(array_agg(j.job_id), '{}') into jobs
    from member_job j join member m on m.firm_id = j.firm_id and m.id = j.member_id
   where j.firm_id = ask_as.firm and j.member_id = ask_as.member and m.left_at is null and not ask_as.every_job;
  perform set_config('lathmark.every_job', every_job::text, true), set_config('lathmark.jobs', jobs::text, true);
end $$;

-- limit_to_jobs puts the limit on a table, which has a job_id, a room_id, or is
-- the table of jobs. It binds the server's role, on top of the limit to a firm.
-- What every row is compared with is worked out once a statement.
create function limit_to_jobs(of text) returns void
language plpgsql set search_path = public, pg_temp as $$
declare
  mine constant text := '(select current_setting(''lathmark.every_job'', true) = ''true'')';
  jobs constant text := 'any ((select nullif(current_setting(''lathmark.jobs'', true), '''')::uuid[])::uuid[])';
  job_key text := case when of = 'job' then 'id'
    when exists (select from pg_attribute where attrelid = of::regclass and attname = 'job_id') then 'job_id' end;
begin
  execute format('create policy named_jobs on %I as restrictive to lathmark_server using (%s or %s)', of, mine,
    case when job_key is not null then job_key || ' = ' || jobs else 'room_id in (select id from room)' end);
end $$;

do $$
declare
  t text;
begin
  for t in select distinct c.relname from pg_class c join pg_attribute a on a.attrelid = c.oid
    where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and not a.attisdropped
      and (c.relname = 'job' or a.attname in ('job_id', 'room_id')) and c.relname <> 'member_job'
  loop
    perform limit_to_jobs(t);
  end loop;
end $$;
