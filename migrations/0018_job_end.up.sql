-- Jobs end. A closed job is read as before, and nothing is written to it or to
-- its rooms until it is opened again. A room or a job is removed while nothing
-- is recorded in it. LM005 is a write to a closed job.
alter table job
  add column closed_at timestamptz,
  add column version bigint not null default 1;
create index job_open on job (firm_id, created_at desc, id desc) where closed_at is null;

-- refuse_closed stands before every write to a closed job's records. What is
-- written in a room moves the room on (see touch_room), so it comes by here.
create function refuse_closed(firm uuid, job uuid) returns void
language plpgsql set search_path = public, pg_temp as $$
begin
  if exists (select from job j where j.firm_id = firm and j.id = refuse_closed.job and j.closed_at is not null) then
    raise exception using errcode = 'LM005', message = 'The job is closed.';
  end if;
end $$;

-- A room comes to a job that is open, and stays so until the room is there.
create function open_for_room() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'INSERT' then
    perform from job j where j.firm_id = new.firm_id and j.id = new.job_id for no key update;
    perform refuse_closed(new.firm_id, new.job_id);
    return new;
  end if;
  perform refuse_closed(old.firm_id, old.job_id);
  if tg_op = 'DELETE' then
    return old;
  end if;
  return new;
end $$;
create trigger open_job before insert or update or delete on room for each row execute function open_for_room();

create function open_for_act() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform refuse_closed(r.firm_id, r.job_id) from room r where r.firm_id = new.firm_id and r.id = new.room_id;
  return new;
end $$;
create trigger open_job before insert or update on act for each row execute function open_for_act();

-- The diary takes its place in the job's order under the job's lock, so here
-- nobody is late: what began before the job was closed and ends after it is
-- refused. A closed job's diary takes only that it was closed, a client's link
-- that was ended, and a name that was taken out.
create function open_for_entry() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if new.act not in ('close_job', 'end_client_link', 'forget') then
    perform refuse_closed(new.firm_id, new.job_id);
  end if;
  return new;
end $$;
create trigger open_job before insert on diary for each row execute function open_for_entry();

-- A job's name and address stay while it is closed. It is removed only while
-- its diary has nothing but its beginning, and takes that along.
create function guard_job() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'DELETE' then
    if exists (select from diary d where d.firm_id = old.firm_id and d.job_id = old.id
               and d.act not in ('add_job', 'rename_job')) then
      raise exception using errcode = 'LM004', message = 'What is in the diary of a job is never taken out.';
    end if;
    return old;
  end if;
  if (new.firm_id, new.id) is distinct from (old.firm_id, old.id) then
    raise exception using errcode = 'LM004', message = 'A job stays in its firm.';
  end if;
  if new.closed_at is not null and (new.name, new.address) is distinct from (old.name, old.address) then
    perform refuse_closed(old.firm_id, old.id);
  end if;
  return new;
end $$;
create trigger guard before update or delete on job for each row execute function guard_job();

alter table diary drop constraint diary_firm_id_job_id_fkey,
  add constraint diary_firm_id_job_id_fkey foreign key (firm_id, job_id) references job on delete cascade;
create function goes_with_job() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if exists (select from job j where j.firm_id = old.firm_id and j.id = old.job_id) then
    raise exception using errcode = 'LM004', message = 'What is in diary is never changed and never taken out.';
  end if;
  return old;
end $$;
drop trigger guard on diary;
create trigger guard before update on diary for each row execute function guard_diary();
create trigger goes before delete on diary for each row execute function goes_with_job();

-- A room takes its gates along and what was drawn in it; whatever else refers
-- to it keeps it. Its name may change at any time, for no stage rests on it.
alter table gate drop constraint gate_firm_id_room_id_fkey,
  add constraint gate_firm_id_room_id_fkey foreign key (firm_id, room_id) references room on delete cascade;
create function goes_with_room() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if exists (select from room r where r.firm_id = old.firm_id and r.id = old.room_id) then
    raise exception using errcode = 'LM004', message = 'A gate stays with its room.';
  end if;
  return old;
end $$;
drop trigger guard on gate;
create trigger guard before insert or update on gate for each row execute function guard_gate();
create trigger goes before delete on gate for each row execute function goes_with_room();

create or replace function guard_room() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  me bigint := pg_current_xact_id()::text::bigint;
begin
  if (new.firm_id, new.id, new.job_id) is distinct from (old.firm_id, old.id, old.job_id) then
    raise exception using errcode = 'LM004', message = 'A room stays in its job.';
  end if;
  if (new.outline, new.height_mm, new.wet) is distinct from (old.outline, old.height_mm, old.wet) then
    perform refuse_frozen(old.firm_id, old.id, 'first_fix');
  end if;
  if old.touched <> me then -- once per transaction, whoever writes: see touch_room
    new.revision := old.revision + 1;
    new.touched := me;
  end if;
  return new;
end $$;
drop trigger guard on room;
create trigger guard before update on room for each row execute function guard_room();

-- Whoever closes, opens again, renames or removes says so in the diary, in the
-- same transaction. A job that is removed has no diary any more.
create function end_in_diary() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_table_name = 'job' and not exists (select from diary d where d.firm_id = old.firm_id and d.job_id = old.id
       and d.room_id is null and d.written_in = pg_current_xact_id()::text::bigint)
     or tg_table_name = 'room' and not exists (select from diary d where d.firm_id = old.firm_id and d.room_id = old.id
       and d.written_in = pg_current_xact_id()::text::bigint) then
    raise exception using errcode = 'LM003',
      message = 'What a job or a room is called, and how it ends, is in the diary.';
  end if;
  return null;
end $$;
create constraint trigger in_diary after update on job deferrable initially deferred for each row
  when ((new.name, new.address, new.closed_at) is distinct from (old.name, old.address, old.closed_at))
  execute function end_in_diary();
create constraint trigger in_diary after update on room deferrable initially deferred for each row
  when (new.name is distinct from old.name) execute function end_in_diary();
create constraint trigger gone_in_diary after delete on room deferrable initially deferred for each row
  execute function end_in_diary();

-- The server's role still deletes no room and no job by itself; these run as the
-- tables' owner, who is bound by the policies and the triggers as well.
create function remove_room(firm uuid, room uuid) returns boolean
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  delete from layer x where x.firm_id = firm and x.room_id = room;
  delete from datum x where x.firm_id = firm and x.room_id = room;
  delete from "position" x where x.firm_id = firm and x.room_id = room;
  delete from surface x where x.firm_id = firm and x.room_id = room;
  delete from room x where x.firm_id = firm and x.id = remove_room.room;
  return found;
end $$;
create function remove_job(firm uuid, job uuid) returns boolean
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  delete from member_job x where x.firm_id = firm and x.job_id = job;
  delete from job x where x.firm_id = firm and x.id = remove_job.job;
  return found;
end $$;
revoke execute on function remove_room(uuid, uuid), remove_job(uuid, uuid) from public;
grant execute on function remove_room(uuid, uuid), remove_job(uuid, uuid) to lathmark_server;

-- Whether its job is closed is part of a room's record, so its revision moves on
-- with that: before the job is closed, and after it was opened again.
create trigger touch_closing before update of closed_at on job
  for each row when (old.closed_at is null and new.closed_at is not null) execute function touch_rooms_of_job();
create trigger touch_opening after update of closed_at on job
  for each row when (old.closed_at is not null and new.closed_at is null) execute function touch_rooms_of_job();
