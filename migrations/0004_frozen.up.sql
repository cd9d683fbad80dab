-- Signed records are frozen, the diary and the sign-offs are never changed.
-- Triggers and not privileges, so that the tables' owner is bound as well.
-- Errors of class LM are ours: LM001 a hard rule, LM002 a frozen record,
-- LM003 a gate moved out of order, LM004 a record that never changes.

create function stage_signed(firm uuid, room uuid, of_stage text) returns boolean
language sql stable set search_path = public, pg_temp as $$
  select exists (select from gate where firm_id = firm and room_id = room
                 and stage = of_stage and state = 'signed_off')
$$;

-- touch_room takes the room's lock and moves its revision on, once per
-- transaction. It updates the row, rather than lock it, so that a transaction
-- that reads from an older snapshot is refused instead of deciding on it.
create function touch_room(firm uuid, room_id uuid) returns void
language plpgsql set search_path = public, pg_temp as $$
declare
  me bigint := pg_current_xact_id()::text::bigint;
begin
  update room r set revision = r.revision + 1, touched = me
   where r.firm_id = firm and r.id = touch_room.room_id and r.touched <> me;
  if not found then
    perform from room r where r.firm_id = firm and r.id = touch_room.room_id for no key update;
  end if;
end $$;

create function refuse_frozen(firm uuid, room uuid, of_stage text) returns void
language plpgsql set search_path = public, pg_temp as $$
begin
  if stage_signed(firm, room, of_stage) then
    raise exception using errcode = 'LM002',
      message = initcap(split_part(of_stage, '_', 1)) || substr(replace(of_stage, '_', ' '),
        length(split_part(of_stage, '_', 1)) + 1)
                || ' is signed off, so what it rests on is frozen. Reopen it first.';
  end if;
end $$;

-- guard_record stands before every write to a record of a room. Its argument
-- is the stage that freezes the record, or 'own' for the row's own stage.
create function guard_record() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'UPDATE' and (new.firm_id, new.room_id) is distinct from (old.firm_id, old.room_id) then
    raise exception using errcode = 'LM004', message = 'A record stays in its room.';
  end if;
  if tg_op <> 'INSERT' then
    perform touch_room(old.firm_id, old.room_id);
    if tg_argv[0] = 'own' then
      perform refuse_frozen(old.firm_id, old.room_id, old.stage);
    else
      perform refuse_frozen(old.firm_id, old.room_id, tg_argv[0]);
    end if;
  end if;
  if tg_op <> 'DELETE' then
    perform touch_room(new.firm_id, new.room_id);
    if tg_argv[0] = 'own' then
      perform refuse_frozen(new.firm_id, new.room_id, new.stage);
    else
      perform refuse_frozen(new.firm_id, new.room_id, tg_argv[0]);
    end if;
    return new;
  end if;
  return old;
end $$;

do $$
declare
  t text;
  stage text;
begin
  for t, stage in values
    ('surface', 'first_fix'), ('datum', 'first_fix'), ('layer', 'first_fix'), ('timber', 'first_fix'),
    ('measurement', 'own'), ('tail_seen', 'boarding'), ('photo_note', 'boarding'),
    ('as_built', 'own'), ('finished', 'own'), ('opening', 'second_fix'), ('snag', 'decoration')
  loop
    execute format('create trigger guard before insert or update or delete on %I
      for each row execute function guard_record(%L)', t, stage);
  end loop;
end $$;

-- A position on a signed schedule may still be held, released or given up by
-- the client, until second fix is signed off.
create function guard_position() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'INSERT' then
    perform touch_room(new.firm_id, new.room_id);
    perform refuse_frozen(new.firm_id, new.room_id, 'first_fix');
    return new;
  end if;
  perform touch_room(old.firm_id, old.room_id);
  perform refuse_frozen(old.firm_id, old.room_id, 'second_fix');
  if tg_op = 'DELETE' then
    perform refuse_frozen(old.firm_id, old.room_id, 'first_fix');
    return old;
  end if;
  if (new.firm_id, new.room_id) is distinct from (old.firm_id, old.room_id) then
    raise exception using errcode = 'LM004', message = 'A record stays in its room.';
  end if;
  if (new.id, new.surface_id, new.name, new.kind, new.trade, new.cutout_mm, new.reach_mm, new.tail_sigma_mm,
      new.planned_u, new.planned_v, new.added_at)
     is distinct from
     (old.id, old.surface_id, old.name, old.kind, old.trade, old.cutout_mm, old.reach_mm, old.tail_sigma_mm,
      old.planned_u, old.planned_v, old.added_at)
     or old.omitted_at is not null and new.omitted_at is null then
    perform refuse_frozen(old.firm_id, old.room_id, 'first_fix');
  end if;
  return new;
end $$;
create trigger guard before insert or update or delete on position
  for each row execute function guard_position();

-- A patch is owed at second fix or later and made good by decoration.
create function guard_patch() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'INSERT' then
    perform touch_room(new.firm_id, new.room_id);
    perform refuse_frozen(new.firm_id, new.room_id, 'decoration');
    return new;
  end if;
  perform touch_room(old.firm_id, old.room_id);
  perform refuse_frozen(old.firm_id, old.room_id, 'decoration');
  if tg_op = 'DELETE' then
    perform refuse_frozen(old.firm_id, old.room_id, 'second_fix');
    return old;
  end if;
  if (new.firm_id, new.room_id, new.opening_id, new.owed_at)
     is distinct from (old.firm_id, old.room_id, old.opening_id, old.owed_at) then
    raise exception using errcode = 'LM004', message = 'A patch stays with its hole.';
  end if;
  return new;
end $$;
create trigger guard before insert or update or delete on patch
  for each row execute function guard_patch();

create function guard_room() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'DELETE' then
    raise exception using errcode = 'LM004', message = 'A room is not taken out of its job.';
  end if;
  if (new.firm_id, new.id, new.job_id) is distinct from (old.firm_id, old.id, old.job_id) then
    raise exception using errcode = 'LM004', message = 'A room stays in its job.';
  end if;
  if (new.name, new.outline, new.height_mm, new.wet) is distinct from (old.name, old.outline, old.height_mm,
    old.wet) then
    perform refuse_frozen(old.firm_id, old.id, 'first_fix');
  end if;
  return new;
end $$;
create trigger guard before update or delete on room
  for each row execute function guard_room();

create function never_changed() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  raise exception using errcode = 'LM004',
    message = 'What is in ' || replace(tg_table_name, '_', '-') || ' is never changed and never taken out.';
end $$;
create trigger never before update or delete on diary for each row execute function never_changed();
create trigger never before update or delete on sign_off for each row execute function never_changed();

-- Truncate fires no row's trigger.
do $$
declare
  t text;
begin
  foreach t in array array['diary', 'sign_off', 'gate', 'room', 'surface', 'datum', 'layer', 'timber', 'position',
    'measurement', 'tail_seen', 'photo_note', 'as_built', 'finished', 'opening', 'patch', 'snag']
  loop
    execute format('create trigger never_all before truncate on %I execute function never_changed()', t);
  end loop;
end $$;

-- The chain of the diary: the next number, the hash of the entry before, and
-- the hash of this one over its own words. The same line is in domain/diary.
create function diary_line(d diary) returns text
language sql stable set search_path = public, pg_temp as $$
  select concat_ws(E'\n', d.firm_id, d.job_id, d.seq,
    to_char(d.at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"'),
    coalesce(d.member_id::text, ''), d.who, d.act, coalesce(d.room_id::text, ''), coalesce(d.stage, ''),
    d.says, d.detail::text)
$$;

create function chain_diary() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  before diary;
begin
  perform from job where firm_id = new.firm_id and id = new.job_id for no key update;
  select * into before from diary where firm_id = new.firm_id and job_id = new.job_id order by seq desc limit 1;
  if new.seq <> coalesce(before.seq, 0) + 1
     or new.prev <> coalesce(before.hash, decode(repeat('00', 32), 'hex'))
     or new.hash <> sha256(new.prev || convert_to(diary_line(new), 'UTF8')) then
    raise exception using errcode = 'LM004', message = 'The diary goes on from its last entry only.';
  end if;
  new.written_in := pg_current_xact_id()::text::bigint;
  return new;
end $$;
create trigger chain before insert on diary for each row execute function chain_diary();
