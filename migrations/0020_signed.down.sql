-- Loses the evidence that sign-offs carry.
-- What was signed keeps its evidence no more, and the numbers of transactions are back:
-- 0 stands for none, as of what was written before.
do $$
declare
  t text;
begin
  foreach t in array array['surface', 'datum', 'layer', 'timber', 'way', 'position', 'measurement', 'tail_seen',
    'photo', 'as_built', 'finished', 'opening', 'patch', 'snag', 'gate', 'room']
  loop
    execute format('drop trigger judged on %I', t);
  end loop;
end $$;
drop trigger left_for_good on member;
drop trigger stands on sign_off;
drop trigger guard on sign_off;
drop trigger guard on measurement;
drop function left_for_good, sign_off_stands, guard_sign_off, guard_measurement, signed_since, judge_written,
  judge_room, keeps_time, has_figure, hard_rule, no_record;
alter table sign_off no force row level security;
alter table act drop constraint act_kind_check, add constraint act_kind_check check (kind in ('measure', 'correct',
  'strike', 'see-tails', 'put-on', 'finish', 'open-hole', 'owe-patch', 'patch-filled', 'patch-dry', 'snag', 'snag-done',
  'offer')) not valid;
alter table sign_off drop constraint sign_off_stage_check, drop constraint sign_off_firm_id_job_id_diary_seq_key,
  drop constraint sign_off_line, drop column act,
  add constraint sign_off_firm_id_job_id_diary_seq_fkey foreign key (firm_id, job_id, diary_seq) references diary
    deferrable initially deferred,
  drop column revision, drop column evidence,
  add column signed_in bigint not null default 0;
alter table sign_off alter column signed_in set default pg_current_xact_id()::text::bigint,
  force row level security;
alter table diary drop constraint diary_of_sign_off;
alter table diary add column written_in bigint not null default 0;
alter table diary alter column written_in set default pg_current_xact_id()::text::bigint;
alter table measurement drop column since;
alter table gate drop column withdrawn;
alter table room drop column unjudged, add column touched bigint not null default 0;

create or replace function stamp_sign_off() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform touch_room(new.firm_id, new.room_id);
  new.signed_in := pg_current_xact_id()::text::bigint;
  return new;
end $$;
create trigger stamp before insert on sign_off for each row execute function stamp_sign_off();

create or replace function known_state() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if new.stage <> 'first_fix' and new.struck_at is null and unrecorded(new) then
    raise exception using errcode = 'LM001', message = new.name || ' does not say what state its datum was in.';
  end if;
  return new;
end $$;
create trigger known_state before insert or update on measurement for each row execute function known_state();

create or replace function hard_rule(firm uuid, room uuid, of_stage text, now timestamptz) returns text
language sql stable set search_path = public, pg_temp as $$
  select says from (
    select 1, 'first_fix', p.name || ' has no record that fixes where it is.' from position p
     where p.firm_id = firm and p.room_id = room and p.omitted_at is null and not fixed(p)
    union all
    select 2, 'first_fix', m.name || ' does not say what state its datum was in.' from measurement m
     where m.firm_id = firm and m.room_id = room and m.struck_at is null and unrecorded(m)
    union all
    select 3, 'first_fix', d.name || ' has no build-up planned and is not marked as staying bare.' from datum d
     where d.firm_id = firm and d.room_id = room and not d.stays_bare and used_face(d)
       and not exists (select from layer l where l.firm_id = d.firm_id and l.datum_id = d.id)
    union all
    select 4, 'boarding', 'The tail of ' || p.name || ' is not seen free.' from position p
     where p.firm_id = firm and p.room_id = room and p.omitted_at is null
       and not exists (select from tail_seen t where t.firm_id = p.firm_id and t.position_id = p.id)
    union all
    select 5, l.stage, 'The ' || l.name || ' on ' || d.name || ' is not recorded as put on.'
      from layer l join datum d on d.firm_id = l.firm_id and d.id = l.datum_id
     where l.firm_id = firm and l.room_id = room and l.stage in ('boarding', 'plaster') and used_face(d)
       and not exists (select from as_built b where b.firm_id = l.firm_id and b.layer_id = l.id)
    union all
    select 6, 'plaster', 'The day the plaster was finished is not recorded.'
     where not exists (select from finished f where f.firm_id = firm and f.room_id = room and f.stage = 'plaster'
       and f.finished_on::timestamp at time zone 'UTC' <= now)
    union all
    select 7, 'second_fix', p.name || ' is held or not opened.' from position p
     where p.firm_id = firm and p.room_id = room and p.omitted_at is null
       and (p.held or not exists (select from opening o where o.firm_id = p.firm_id and o.position_id = p.id))
    union all
    select 8, 'second_fix', 'Nothing makes good the lost hole at ' || p.name || '.'
      from opening o join position p on p.firm_id = o.firm_id and p.id = o.position_id
     where o.firm_id = firm and o.room_id = room and o.outcome in ('not_found', 'on_timber')
       and o.new_position_id is null
       and not exists (select from patch a where a.firm_id = o.firm_id and a.opening_id = o.id)
    union all
    select 9, 'decoration', 'A patch is not filled, or not dry.' from patch a
     where a.firm_id = firm and a.room_id = room and (a.filled_at is null or a.dry_at is null or a.dry_at > now)
    union all
    select 10, 'decoration', 'A snag is open: ' || s.says from snag s
     where s.firm_id = firm and s.room_id = room and s.closed_at is null
  ) rule (place, stage, says)
  where stage = of_stage order by place limit 1
$$;

create or replace function touch_room(firm uuid, room_id uuid) returns void
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

create or replace function open_for_room() returns trigger
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

create or replace function refuse_frozen(firm uuid, room uuid, of_stage text) returns void
language plpgsql set search_path = public, pg_temp as $$
begin
  if stage_signed(firm, room, of_stage) then
    raise exception using errcode = 'LM002',
      message = initcap(split_part(of_stage, '_', 1)) || substr(replace(of_stage, '_', ' '),
        length(split_part(of_stage, '_', 1)) + 1)
                || ' is signed off, so what it rests on is frozen. Reopen it first.';
  end if;
end $$;

create or replace function guard_record() returns trigger
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

create or replace function guard_gate() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  broken text;
  signed sign_off;
begin
  if tg_op = 'DELETE' then
    raise exception using errcode = 'LM004', message = 'A gate stays with its room.';
  elsif tg_op = 'INSERT' then
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
  if new.state = old.state then
    if new.sign_off_id is distinct from old.sign_off_id then
      raise exception using errcode = 'LM002', message = 'A signed gate keeps its sign-off.';
    end if;
    return new;
  end if;
  if new.state <> 'waiting' and (old.state, new.state) not in
     (('waiting', 'in_hand'), ('in_hand', 'offered'), ('offered', 'signed_off'), ('signed_off', 'in_hand')) then
    raise exception using errcode = 'LM003', message = 'A gate does not go from ' || old.state || ' to ' || new.state
      || '.';
  end if;
  if new.state = 'signed_off' then
    select * into signed from sign_off s
     where s.firm_id = new.firm_id and s.id = new.sign_off_id and s.room_id = new.room_id and s.stage = new.stage;
    if signed.signed_in is distinct from pg_current_xact_id()::text::bigint then
      raise exception using errcode = 'LM003', message = 'A gate is signed together with its sign-off.';
    end if;
    if new.place > 0 and not exists (select from gate g where g.firm_id = new.firm_id and g.room_id = new.room_id
        and g.place = new.place - 1 and g.state = 'signed_off') then
      raise exception using errcode = 'LM003', message = 'The stage before is not signed off.';
    end if;
    broken := hard_rule(new.firm_id, new.room_id, new.stage, signed.signed_at);
    if broken is not null then
      raise exception using errcode = 'LM001', message = broken;
    end if;
  end if;
  return new;
end $$;

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
  if 'signed_off' in (old.state, new.state) and old.state <> new.state and not exists (
      select from diary d where d.firm_id = new.firm_id and d.room_id = new.room_id
        and d.written_in = pg_current_xact_id()::text::bigint) then
    raise exception using errcode = 'LM003', message = 'Signing off and opening again are in the diary.';
  end if;
  return null;
end $$;

create or replace function chain_diary() returns trigger
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

create or replace function guard_diary() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'UPDATE' and new.who is distinct from old.who
     and (new.firm_id, new.job_id, new.seq, new.at, new.member_id, new.act, new.room_id, new.stage, new.says,
       new.detail::text,
          new.prev, new.hash, new.written_in)
       is not distinct from
         (old.firm_id, old.job_id, old.seq, old.at, old.member_id, old.act, old.room_id, old.stage, old.says,
           old.detail::text,
          old.prev, old.hash, old.written_in)
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
       and d.room_id is null and d.written_in = pg_current_xact_id()::text::bigint)
     or tg_table_name = 'room' and not exists (select from diary d where d.firm_id = old.firm_id and d.room_id = old.id
       and d.written_in = pg_current_xact_id()::text::bigint) then
    raise exception using errcode = 'LM003',
      message = 'What a job or a room is called, and how it ends, is in the diary.';
  end if;
  return null;
end $$;

create trigger guard before insert or update or delete on measurement
  for each row execute function guard_record('own');
