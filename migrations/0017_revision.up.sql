-- A room's revision stands for all that is read of a room, so that whoever keeps
-- what was worked out from it can tell by one number whether it still holds. The
-- records of a room moved it on already. Here follow the room's own row, and the
-- names that are read from elsewhere: the job's, and those of who signed its gates.
create or replace function guard_room() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  me bigint := pg_current_xact_id()::text::bigint;
begin
  if tg_op = 'DELETE' then
    raise exception using errcode = 'LM004', message = 'A room is not taken out of its job.';
  end if;
  if (new.firm_id, new.id, new.job_id) is distinct from (old.firm_id, old.id, old.job_id) then
    raise exception using errcode = 'LM004', message = 'A room stays in its job.';
  end if;
  if (new.name, new.outline, new.height_mm, new.wet)
     is distinct from (old.name, old.outline, old.height_mm, old.wet) then
    perform refuse_frozen(old.firm_id, old.id, 'first_fix');
  end if;
  if old.touched <> me then -- once per transaction, whoever writes: see touch_room
    new.revision := old.revision + 1;
    new.touched := me;
  end if;
  return new;
end $$;

-- Whoever changes a job's name takes the locks of its rooms first: whoever writes
-- to a room locks it before the job.
create function touch_rooms_of_job() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform touch_room(r.firm_id, r.id)
    from (select firm_id, id from room where firm_id = new.firm_id and job_id = new.id order by id) r;
  return new;
end $$;
create trigger touch after update of name on job
  for each row when (old.name is distinct from new.name) execute function touch_rooms_of_job();

-- It runs as the owner, so that the rooms of jobs move on too that whoever changes
-- the name does not see.
create function touch_rooms_of_signer() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  perform set_config('lathmark.firm', new.firm_id::text, true);
  perform touch_room(r.firm_id, r.room_id)
    from (select distinct g.firm_id, g.room_id
            from gate g join sign_off s on s.firm_id = g.firm_id and s.id = g.sign_off_id
           where g.firm_id = new.firm_id and s.signed_by = new.id order by g.room_id) r;
  return null;
end $$;
revoke execute on function touch_rooms_of_signer() from public;
create trigger touch after update of name on member
  for each row when (old.name is distinct from new.name) execute function touch_rooms_of_signer();

-- ask_as is as it was (0008), and looks for no more than it needs: for the firm
-- itself for nothing, for who sees every job not for jobs.
create or replace function ask_as(firm uuid, member uuid, out every_job boolean, out jobs uuid[])
language plpgsql set search_path = public, pg_temp as $$
begin
  perform set_config('lathmark.firm', firm::text, true);
  every_job := member is null;
  jobs := '{}';
  if not every_job then
    select m.role in ('owner', 'foreman') or m.every_job into every_job
      from member m where m.firm_id = ask_as.firm and m.id = ask_as.member and m.left_at is null;
    if not found then -- somebody who has left, or is of another firm
      every_job := false;
    elsif not every_job then
      select coalesce(array_agg(j.job_id), '{}') into jobs
        from member_job j where j.firm_id = ask_as.firm and j.member_id = ask_as.member;
    end if;
  end if;
  perform set_config('lathmark.every_job', every_job::text, true), set_config('lathmark.jobs', jobs::text, true);
end $$;

-- What is looked for by its room or its job.
create index timber_room on timber (firm_id, room_id);
create index as_built_room on as_built (firm_id, room_id);
create index tail_seen_room on tail_seen (firm_id, room_id);
create index patch_room on patch (firm_id, room_id);
create index client_link_job on client_link (firm_id, job_id);
-- Before a layer or a datum is taken out, the readings that name it are looked for.
create index measurement_from on measurement (firm_id, from_id) where from_id is not null;
create index measurement_to on measurement (firm_id, to_id) where to_id is not null;

-- The firm's revision moves on with whoever works in it and on which jobs, and
-- with the jobs' names: what pages say besides the rooms' own records.
alter table firm add column revision bigint not null default 1;

create function touch_firm() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  of_firm uuid := coalesce(new.firm_id, old.firm_id);
begin
  perform set_config('lathmark.firm', of_firm::text, true);
  update firm set revision = revision + 1 where firm_id = of_firm;
  return null;
end $$;
revoke execute on function touch_firm() from public;
create trigger touch_firm after insert or delete or update of name, role, trade, every_job, left_at on member
  for each row execute function touch_firm();
create trigger touch_firm after insert or delete on member_job
  for each row execute function touch_firm();
create trigger touch_firm after insert or delete or update on job
  for each row execute function touch_firm();
