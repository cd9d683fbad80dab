-- What is signed holds. At commit every signed stage of a room that was written to
-- meets its hard rules, whatever was written, in which order and by whom; and what a
-- stage rests on does not change while it stands signed. The same law is in
-- domain/gate/doc.go.

-- What was written by the transaction at hand is told by the row's own xmin. Kept
-- transaction numbers said something else after a restore into another cluster.
alter table diary disable trigger user, no force row level security;
alter table sign_off disable trigger user, no force row level security;
alter table measurement disable trigger user, no force row level security;
drop trigger stamp on sign_off;
drop function stamp_sign_off();
drop function hard_rule(uuid, uuid, text, timestamptz);

-- A reading belongs to every stage that is signed while it stands. Both count in the
-- room's revisions: since when the reading is there, and at which one was signed. What
-- is older than these columns is counted by the diary, below every revision.
alter table measurement add column since bigint not null default 0;
alter table sign_off
  add column revision bigint not null default 0,
  -- all that the stage rests on, word for word; null: signed before this was kept
  add column evidence json;
update measurement m set since = -(2 ^ 40)::bigint + coalesce((select min(d.seq) from diary d
   where d.firm_id = m.firm_id and d.room_id = m.room_id and d.act = 'measure'
     and coalesce(d.detail ->> 'id', d.detail ->> 'ID') = m.id::text), 0);
update sign_off set revision = -(2 ^ 40)::bigint + diary_seq;
-- A sign-off is bound to its line in the diary: that act, of that room, stage, person and
-- moment. One that is not has been there before this key was; the check names it.
alter table diary add constraint diary_of_sign_off unique (firm_id, job_id, seq, room_id, stage, member_id, act, at);
alter table sign_off
  add column act text not null default 'sign_off' check (act = 'sign_off'),
  drop constraint sign_off_firm_id_job_id_diary_seq_fkey,
  add constraint sign_off_line foreign key (firm_id, job_id, diary_seq, room_id, stage, signed_by, act, signed_at)
    references diary (firm_id, job_id, seq, room_id, stage, member_id, act, at)
    deferrable initially deferred not valid;
do $$ begin
  alter table sign_off validate constraint sign_off_line;
exception when foreign_key_violation then
  raise warning 'a sign-off has no line in the diary that is its own';
end $$;
alter table sign_off
  add constraint sign_off_stage_check check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  add unique (firm_id, job_id, diary_seq);
alter table measurement enable trigger user, force row level security;
alter table sign_off enable trigger user, force row level security;
alter table diary enable trigger user, force row level security;

-- Why it is no longer offered, in the diary's words, until it is offered again.
alter table gate add column withdrawn text not null default '' check (withdrawn = '' or state = 'in_hand');

alter table room drop column touched;
-- Set while what was written to the room is still to be judged.
alter table room add column unjudged boolean not null default false;
alter table diary drop column written_in;
alter table sign_off drop column signed_in;
-- The program knows the kinds of what phones send, and refuses others when it reads them.
alter table act drop constraint act_kind_check, add constraint act_kind_check check (kind ~ '^[a-z]+(-[a-z]+)*$');

-- keeps_time reports whether a time is that of the transaction at hand. A past is
-- written by a superuser alone, as when a demo is made: whoever may turn every trigger
-- off is bound by none.
create function keeps_time(at timestamptz) returns boolean
language plpgsql stable set search_path = public, pg_temp as $$
begin
  return at between now() and clock_timestamp()
    or exists (select from pg_roles where rolname = session_user and rolsuper);
end $$;

-- touch_room takes the room's lock, moves its revision on, once per transaction, and has
-- the room judged at its end. It updates the row, rather than lock it, so that a
-- transaction that reads from an older snapshot is refused instead of deciding on it.
create or replace function touch_room(firm uuid, room_id uuid) returns void
language plpgsql set search_path = public, pg_temp as $$
begin
  update room r set unjudged = true
   where r.firm_id = firm and r.id = touch_room.room_id
     and not (r.unjudged and r.xmin = pg_current_xact_id()::xid);
  if not found then
    perform from room r where r.firm_id = firm and r.id = touch_room.room_id for no key update;
  end if;
end $$;

create or replace function guard_room() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  same boolean := (new.name, new.place, new.outline, new.height_mm, new.wet, new.version)
    is not distinct from (old.name, old.place, old.outline, old.height_mm, old.wet, old.version);
begin
  if (new.firm_id, new.id, new.job_id, new.created_at)
     is distinct from (old.firm_id, old.id, old.job_id, old.created_at) then
    raise exception using errcode = 'LM004', message = 'A room stays in its job.';
  end if;
  if (new.outline, new.height_mm, new.wet) is distinct from (old.outline, old.height_mm, old.wet) then
    perform refuse_frozen(old.firm_id, old.id, 'first_fix');
  end if;
  -- Only a trigger has judged the room: see judge_room.
  new.unjudged := new.unjudged or not same or pg_trigger_depth() = 1;
  new.revision := old.revision;
  if not exists (select from room r where r.firm_id = old.firm_id and r.id = old.id
                 and r.xmin = pg_current_xact_id()::xid) then
    new.revision := old.revision + 1; -- once per transaction, whoever writes: see touch_room
  end if;
  return new;
end $$;

-- A job that is closed takes nothing more; that its rooms were judged is no news.
create or replace function open_for_room() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'INSERT' then
    perform from job j where j.firm_id = new.firm_id and j.id = new.job_id for no key update;
    perform refuse_closed(new.firm_id, new.job_id);
    return new;
  elsif tg_op = 'DELETE' then
    perform refuse_closed(old.firm_id, old.job_id);
    return old;
  end if;
  if new.unjudged then
    perform refuse_closed(old.firm_id, old.job_id);
  end if;
  return new;
end $$;
drop trigger open_job on room;
create trigger open_job before insert or update or delete on room for each row execute function open_for_room();

create or replace function refuse_frozen(firm uuid, room uuid, of_stage text) returns void
language plpgsql set search_path = public, pg_temp as $$
begin
  if stage_signed(firm, room, of_stage) then
    raise exception using errcode = 'LM002', detail = of_stage,
      message = upper(left(of_stage, 1)) || replace(substr(of_stage, 2), '_', ' ')
        || ' is signed off, so what it rests on is frozen. Reopen it first.';
  end if;
end $$;

-- guard_record as before (0004), and a record stays with its stage.
create or replace function guard_record() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'UPDATE' and (new.firm_id, new.room_id) is distinct from (old.firm_id, old.room_id) then
    raise exception using errcode = 'LM004', message = 'A record stays in its room.';
  end if;
  if tg_op = 'UPDATE' and tg_argv[0] = 'own' and to_jsonb(new) -> 'stage' <> to_jsonb(old) -> 'stage' then
    raise exception using errcode = 'LM004', message = 'A record stays with its stage.';
  end if;
  if tg_op <> 'INSERT' then
    perform touch_room(old.firm_id, old.room_id),
      refuse_frozen(old.firm_id, old.room_id,
        case tg_argv[0] when 'own' then to_jsonb(old) ->> 'stage' else tg_argv[0] end);
  end if;
  if tg_op = 'DELETE' then
    return old;
  end if;
  perform touch_room(new.firm_id, new.room_id),
    refuse_frozen(new.firm_id, new.room_id,
        case tg_argv[0] when 'own' then to_jsonb(new) ->> 'stage' else tg_argv[0] end);
  return new;
end $$;

-- signed_since is the first stage that was signed while a reading stood.
create function signed_since(firm uuid, room uuid, since bigint) returns text
language plpgsql stable set search_path = public, pg_temp as $$
begin
  return (select g.stage from gate g join sign_off s on s.firm_id = g.firm_id and s.id = g.sign_off_id
    where g.firm_id = firm and g.room_id = room and s.revision >= since order by g.place limit 1);
end $$;

-- guard_measurement: a reading is taken under the stage in hand and stays with it, and
-- is frozen by every stage that was signed while it stood. Nobody measures anew how
-- thick a layer is whose own stage is signed.
create function guard_measurement() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  in_hand text;
begin
  if tg_op <> 'INSERT' then
    perform touch_room(old.firm_id, old.room_id),
      refuse_frozen(old.firm_id, old.room_id, signed_since(old.firm_id, old.room_id, old.since));
    if tg_op = 'DELETE' then
      return old;
    end if;
    if (new.firm_id, new.room_id, new.id, new.surface_id, new.stage, new.since)
       is distinct from (old.firm_id, old.room_id, old.id, old.surface_id, old.stage, old.since) then
      raise exception using errcode = 'LM004', message = 'A reading stays in its room and with its stage.';
    end if;
  else
    perform touch_room(new.firm_id, new.room_id);
    new.since := (select r.revision from room r where r.firm_id = new.firm_id and r.id = new.room_id);
    perform refuse_frozen(new.firm_id, new.room_id, signed_since(new.firm_id, new.room_id, new.since));
    select g.stage into in_hand from gate g
     where g.firm_id = new.firm_id and g.room_id = new.room_id and g.state <> 'signed_off' order by g.place limit 1;
    perform refuse_frozen(new.firm_id, new.room_id, coalesce(in_hand, 'decoration'));
    if new.stage <> in_hand then
      raise exception using errcode = 'LM003', message = 'A reading is taken under the stage that is in hand.';
    end if;
  end if;
  -- What is no face has no state, and so nobody could read one.
  if new.state_known and not exists (select from datum d where d.firm_id = new.firm_id and d.id = new.from_id
      and d.kind = 'face') or new.kind <> 'span' and new.to_state_id is not null
      or new.kind <> 'thickness' and new.from_state_id is not null
      or new.kind = 'thickness' and not exists (select from layer l left join layer f on f.firm_id = l.firm_id
        and f.id = new.from_state_id where l.firm_id = new.firm_id and l.id = new.state_id
        and coalesce(f.place, 0) < l.place) then
    raise exception using errcode = 'check_violation', message = 'A state is of a face that was measured.';
  end if;
  if new.kind = 'thickness' and new.struck_at is null then
    perform refuse_frozen(l.firm_id, l.room_id, l.stage) from layer l
     where l.firm_id = new.firm_id and l.id = new.state_id;
  end if;
  return new;
end $$;
drop trigger guard on measurement;
create trigger guard before insert or update or delete on measurement
  for each row execute function guard_measurement();

-- has_figure reports whether a layer is recorded as put on with a figure that stands:
-- its own, a thickness from under it to it or beyond, or a span to its face with it on.
create function has_figure(l layer) returns boolean
language plpgsql stable set search_path = public, pg_temp as $$
begin
  return exists (
    select from as_built b where b.firm_id = l.firm_id and b.layer_id = l.id and (b.thickness_mm > 0 or exists (
      select from measurement m
        join layer o on o.firm_id = m.firm_id and o.datum_id = l.datum_id
         and o.id = case when m.from_id = l.datum_id then m.state_id else m.to_state_id end
        left join layer u on u.firm_id = m.firm_id and u.id = m.from_state_id
       where m.firm_id = l.firm_id and m.room_id = l.room_id and m.struck_at is null
         and m.kind in ('thickness', 'span') and o.place >= l.place
         and (m.kind = 'span' or coalesce(u.place, 0) < l.place))));
end $$;

-- no_record is a position of a room that nothing fixes, by its name.
create function no_record(firm uuid, room uuid) returns text
language sql stable set search_path = public, pg_temp as $$
  select p.name from position p where p.firm_id = firm and p.room_id = room and p.omitted_at is null and not fixed(p)
   order by p.added_at, p.name limit 1
$$;

-- hard_rule finds the first hard rule of a stage that the room does not meet at the
-- given time: its code, and what the record is called that it is about. Null where all
-- are met. The words are the program's (domain/gate/table.go).
create function hard_rule(firm uuid, room uuid, of_stage text, at timestamptz, out rule text, out about text)
language plpgsql stable set search_path = public, pg_temp set jit = off as $$
begin
  select r.rule, r.about into rule, about from (
    select 1 as place, 'no_record' as rule, loose as about from no_record(firm, room) loose
     where of_stage = 'first_fix' and loose is not null
    union all
    select 2, 'unrecorded_datum', m.name from measurement m
     where of_stage = 'first_fix' and m.firm_id = firm and m.room_id = room and m.struck_at is null and unrecorded(m)
    union all
    select 3, 'no_build_up', d.name from datum d
     where of_stage = 'first_fix' and d.firm_id = firm and d.room_id = room and not d.stays_bare and used_face(d)
       and not exists (select from layer l where l.firm_id = d.firm_id and l.datum_id = d.id)
    union all
    select 4, 'stage_before', p.name from position p
      join gate g on g.firm_id = p.firm_id and g.room_id = p.room_id and g.stage = 'first_fix'
      join sign_off s on s.firm_id = g.firm_id and s.id = g.sign_off_id
     where of_stage = 'boarding' and p.firm_id = firm and p.room_id = room and p.omitted_at is null
       and p.added_at > s.signed_at
    union all
    select 5, 'tail_not_seen', p.name from position p
     where of_stage = 'boarding' and p.firm_id = firm and p.room_id = room and p.omitted_at is null
       and not exists (select from tail_seen t where t.firm_id = p.firm_id and t.position_id = p.id)
    union all
    select 6, 'not_as_built', l.name || ' on ' || d.name
      from layer l join datum d on d.firm_id = l.firm_id and d.id = l.datum_id
     where of_stage = l.stage and l.firm_id = firm and l.room_id = room and l.stage in ('boarding', 'plaster')
       and used_face(d) and not has_figure(l)
    union all
    select 7, 'no_finish_date', 'plaster'
     where of_stage = 'plaster' and not exists (select from finished f where f.firm_id = firm and f.room_id = room
       and f.stage = 'plaster' and f.finished_on <= day_of(firm, at))
    union all
    select 8, case when p.held then 'held' else 'not_opened' end, p.name from position p
     where of_stage = 'second_fix' and p.firm_id = firm and p.room_id = room and p.omitted_at is null
       and (p.held or not exists (select from opening o where o.firm_id = p.firm_id and o.position_id = p.id))
    union all
    select 9, 'lost_hole', p.name from opening o join position p on p.firm_id = o.firm_id and p.id = o.position_id
     where of_stage = 'second_fix' and o.firm_id = firm and o.room_id = room and o.outcome in ('not_found', 'on_timber')
       and o.new_position_id is null
       and not exists (select from patch a where a.firm_id = o.firm_id and a.opening_id = o.id)
    union all
    select 10, 'patch_open', p.name from patch a
      join opening o on o.firm_id = a.firm_id and o.id = a.opening_id
      join position p on p.firm_id = o.firm_id and p.id = o.position_id
     where of_stage = 'decoration' and a.firm_id = firm and a.room_id = room
       and (a.filled_at is null or a.dry_at is null or a.dry_at > at)
    union all
    select 11, 'snag_open', s.says from snag s
     where of_stage = 'decoration' and s.firm_id = firm and s.room_id = room and s.closed_at is null
  ) r order by place limit 1;
end $$;

-- judge_room is the law: each signed stage meets its hard rules as of its own sign-off,
-- and was signed after what it stands on, never before. It leaves the room judged, so
-- that it is not judged again for each row, and is for whatever is written after it.
create function judge_room(firm uuid, room uuid) returns void
language plpgsql set search_path = public, pg_temp as $$
declare
  g record;
  broken record;
  below bigint;
begin
  for g in select x.stage, s.signed_at, s.revision from gate x
      join sign_off s on s.firm_id = x.firm_id and s.id = x.sign_off_id
     where x.firm_id = firm and x.room_id = room and x.state = 'signed_off' order by x.place
  loop
    if g.revision < below then
      raise exception using errcode = 'LM003', message = 'What follows a stage that was opened again is signed anew.';
    end if;
    below := g.revision;
    broken := hard_rule(firm, room, g.stage, g.signed_at);
    if broken.rule is not null then
      raise exception using errcode = 'LM001', message = broken.rule, detail = broken.about;
    end if;
  end loop;
  if found then
    update room r set unjudged = false where r.firm_id = firm and r.id = judge_room.room;
  end if;
end $$;

-- It looks as the tables' owner and at the row's own firm, whatever the session has named
-- since: what cannot be seen would not be judged.
create function judge_written() returns trigger
language plpgsql security definer set search_path = public, pg_temp as $$
declare
  w jsonb := to_jsonb(coalesce(new, old));
  of_room uuid := w ->> case tg_table_name when 'room' then 'id' else 'room_id' end;
  named text := current_setting('lathmark.firm', true);
begin
  perform set_config('lathmark.firm', w ->> 'firm_id', true);
  if exists (select from room r where r.firm_id = (w ->> 'firm_id')::uuid and r.id = of_room and r.unjudged) then
    perform judge_room((w ->> 'firm_id')::uuid, of_room);
  end if;
  perform set_config('lathmark.firm', coalesce(named, ''), true);
  return null;
end $$;
revoke execute on function judge_written() from public;

-- On every table of a room's record, so that whoever has the constraints checked at once
-- is judged after each statement.
do $$
declare
  t text;
begin
  foreach t in array array['surface', 'datum', 'layer', 'timber', 'way', 'position', 'measurement', 'tail_seen',
    'photo', 'as_built', 'finished', 'opening', 'patch', 'snag', 'gate']
  loop
    execute format('create constraint trigger judged after insert or update or delete on %I
      deferrable initially deferred for each row execute function judge_written()', t);
  end loop;
end $$;
-- Not when the room is touched, which is before its record is written.
create constraint trigger judged after update on room deferrable initially deferred for each row
  when ((new.outline, new.height_mm, new.wet) is distinct from (old.outline, old.height_mm, old.wet))
  execute function judge_written();
drop trigger known_state on measurement;
drop function known_state();

create or replace function guard_gate() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  broken record;
  signed sign_off;
begin
  if tg_op = 'INSERT' then
    if new.state <> (array['in_hand', 'waiting', 'waiting', 'waiting', 'waiting'])[new.place + 1] then
      raise exception using errcode = 'LM003', message = 'A new room starts with first fix in hand.';
    end if;
    return new;
  end if;
  if (new.firm_id, new.room_id, new.stage, new.place) is distinct from (old.firm_id, old.room_id, old.stage,
    old.place) then
    raise exception using errcode = 'LM004', message = 'A gate stays with its room.';
  end if;
  perform touch_room(new.firm_id, new.room_id);
  if new.state = old.state and (new.offered_by, new.offered_at, new.sign_off_id)
     is distinct from (old.offered_by, old.offered_at, old.sign_off_id) then
    raise exception using errcode = 'LM002', message = 'A gate keeps its offer and its sign-off.';
  end if;
  if new.state = old.state then
    return new;
  end if;
  if new.state <> 'waiting' and (old.state, new.state) not in (('waiting', 'in_hand'), ('in_hand', 'offered'),
     ('offered', 'in_hand'), ('offered', 'signed_off'), ('signed_off', 'in_hand')) then
    raise exception using errcode = 'LM003', message = 'A gate does not go from ' || old.state || ' to ' || new.state
      || '.';
  end if;
  if new.state = 'offered' and not exists (select from member m where m.firm_id = new.firm_id
      and m.id = new.offered_by and m.left_at is null and m.role in ('owner', 'foreman', 'trade')) then
    raise exception using errcode = 'LM003', message = 'Somebody of the firm offers a stage.';
  end if;
  if new.state = 'signed_off' then
    if (new.offered_by, new.offered_at) is distinct from (old.offered_by, old.offered_at) then
      raise exception using errcode = 'LM002', message = 'A gate keeps its offer.';
    end if;
    select * into signed from sign_off s
     where s.firm_id = new.firm_id and s.id = new.sign_off_id and s.room_id = new.room_id and s.stage = new.stage
       and s.xmin = pg_current_xact_id()::xid;
    if not found then
      raise exception using errcode = 'LM003', message = 'A gate is signed together with its sign-off.';
    end if;
    if new.place > 0 and not exists (select from gate g where g.firm_id = new.firm_id and g.room_id = new.room_id
        and g.place = new.place - 1 and g.state = 'signed_off') then
      raise exception using errcode = 'LM003', message = 'The stage before is not signed off.';
    end if;
    broken := hard_rule(new.firm_id, new.room_id, new.stage, signed.signed_at);
    if broken.rule is not null then
      raise exception using errcode = 'LM001', message = broken.rule, detail = broken.about;
    end if;
  end if;
  return new;
end $$;

-- A sign-off is one who may sign's, of now, and says at which revision it was made.
create function guard_sign_off() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform touch_room(new.firm_id, new.room_id);
  new.revision := (select r.revision from room r where r.firm_id = new.firm_id and r.id = new.room_id);
  if not keeps_time(new.signed_at) then
    raise exception using errcode = 'LM003', message = 'A stage is signed off now, not at another time.';
  end if;
  if not exists (select from member m where m.firm_id = new.firm_id and m.id = new.signed_by and m.left_at is null
      and m.role in ('owner', 'foreman')) then
    raise exception using errcode = 'LM003', message = 'The foreman or the owner signs off.';
  end if;
  return new;
end $$;
create trigger guard before insert on sign_off for each row execute function guard_sign_off();

-- At the end its gate stands signed with it, and its line in the diary, to which its key
-- binds it, is of this transaction and has its sums.
create function sign_off_stands() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if not exists (select from gate g where g.firm_id = new.firm_id and g.room_id = new.room_id
      and g.stage = new.stage and g.sign_off_id = new.id) then
    raise exception using errcode = 'LM003', message = 'A sign-off signs its gate.';
  end if;
  if not exists (select from diary d where d.firm_id = new.firm_id and d.job_id = new.job_id and d.seq = new.diary_seq
      and d.detail ->> 'sha256' = encode(new.sha256, 'hex')
      and d.detail ->> 'evidence' = encode(sha256(convert_to(new.evidence::text, 'UTF8')), 'hex')
      and d.detail ->> 'sign_off' = new.id::text and d.xmin = pg_current_xact_id()::xid) then
    raise exception using errcode = 'LM003', message = 'A sign-off has its line in the diary.';
  end if;
  return null;
end $$;
create constraint trigger stands after insert on sign_off
  deferrable initially deferred for each row execute function sign_off_stands();

-- At the end of the transaction the gates of the room stand in order: a gate waits
-- exactly while the one before it is not signed off. A gate that was opened again, or
-- is offered no more, has its line in the diary; of one that was signed see above.
create or replace function gates_in_order() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  n int;
  bad int;
begin
  select count(*), count(*) filter (where place > 0 and (state = 'waiting') <> (before is distinct from 'signed_off'))
    into n, bad
    from (select place, state, lag(state) over (order by place) as before from gate
           where firm_id = new.firm_id and room_id = new.room_id) g;
  if n <> 5 or bad > 0 then
    raise exception using errcode = 'LM003', message = 'The stages of a room are signed off in order.';
  end if;
  if old.state in ('offered', 'signed_off') and new.state in ('in_hand', 'waiting') and not exists (
      select from (select d.act, d.stage, d.xmin as x from diary d where d.firm_id = new.firm_id
        and d.room_id = new.room_id order by d.seq desc limit 1000) d
       where d.stage = new.stage and d.x = pg_current_xact_id()::xid
         and (d.act = 'reopen' or d.act = 'withdraw' and old.state = 'offered')) then
    raise exception using errcode = 'LM003', message = 'Opening a stage again is in the diary.';
  end if;
  return null;
end $$;

-- The diary as before (0004, 0016, 0018), without the numbers of transactions.
create or replace function chain_diary() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  before record;
begin
  perform from job where firm_id = new.firm_id and id = new.job_id for no key update;
  select seq, hash into before from diary where firm_id = new.firm_id and job_id = new.job_id order by seq desc limit 1;
  if new.seq <> coalesce(before.seq, 0) + 1
     or new.prev <> coalesce(before.hash, decode(repeat('00', 32), 'hex'))
     or new.hash <> sha256(new.prev || convert_to(diary_line(new), 'UTF8')) then
    raise exception using errcode = 'LM004', message = 'The diary goes on from its last entry only.';
  end if;
  return new;
end $$;

-- What stands for a name that was taken out has one form.
create or replace function guard_diary() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if new.who = 'Somebody who left (' || right(old.member_id::text, 4) || ')'
     and to_jsonb(new) - 'who' = to_jsonb(old) - 'who' and new.detail::text = old.detail::text
     and exists (select from member m where m.firm_id = old.firm_id and m.id = old.member_id and m.left_at is not null)
     and exists (select from diary f where f.firm_id = old.firm_id and f.job_id = old.job_id and f.seq > old.seq
       and f.act = 'forget'
       and f.detail ->> 'member' = old.member_id::text and f.detail ->> 'as' = new.who
       and f.detail -> 'entries' ->> old.seq::text = encode(sha256(new.prev || convert_to(diary_line(new), 'UTF8')),
         'hex')) then
    return new;
  end if;
  raise exception using errcode = 'LM004', message = 'What is in diary is never changed and never taken out.';
end $$;

create or replace function end_in_diary() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_table_name = 'job' and not exists (select from diary d where d.firm_id = old.firm_id and d.job_id = old.id
       and d.room_id is null and d.xmin = pg_current_xact_id()::xid)
     or tg_table_name = 'room' and not exists (select from diary d where d.firm_id = old.firm_id and d.room_id = old.id
       and d.xmin = pg_current_xact_id()::xid) then
    raise exception using errcode = 'LM003',
      message = 'What a job or a room is called, and how it ends, is in the diary.';
  end if;
  return null;
end $$;

-- Whoever left has left. Somebody who comes back is a new member.
create function left_for_good() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  raise exception using errcode = 'LM004', message = 'Somebody who left has left. Take them on anew.';
end $$;
create trigger left_for_good before update on member for each row
  when (old.left_at is not null and new.left_at is distinct from old.left_at) execute function left_for_good();
