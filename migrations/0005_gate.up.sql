-- The gates: how they move, in what order, and the hard rules, a second time
-- after domain/gate. They move like this and no other way:
--   waiting -> in_hand -> offered -> signed_off -> in_hand; any -> waiting

create function gates_of_room() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  insert into gate (firm_id, room_id, stage, place, state) values
    (new.firm_id, new.id, 'first_fix', 0, 'in_hand'),
    (new.firm_id, new.id, 'boarding', 1, 'waiting'),
    (new.firm_id, new.id, 'plaster', 2, 'waiting'),
    (new.firm_id, new.id, 'second_fix', 3, 'waiting'),
    (new.firm_id, new.id, 'decoration', 4, 'waiting');
  return new;
end $$;
create trigger gates after insert on room for each row execute function gates_of_room();

-- A used face is one that a measurement that stands refers to.
create function used_face(d datum) returns boolean
language sql stable set search_path = public, pg_temp as $$
  select d.kind = 'face' and exists (select from measurement m
    where m.firm_id = d.firm_id and m.room_id = d.room_id and m.struck_at is null and d.id in (m.from_id, m.to_id))
$$;

-- A face with layers whose state nobody wrote down.
create function unrecorded(m measurement) returns boolean
language sql stable set search_path = public, pg_temp as $$
  select exists (select from layer l where l.firm_id = m.firm_id
    and (l.datum_id = m.from_id and not m.state_known or l.datum_id = m.to_id and not m.to_state_known))
$$;

-- Fixed: two recorded offsets from lines at least 6 degrees apart, or two
-- recorded measurements of which one is a straight distance. For straight
-- distances the adjustment is stricter: it also asks that one place only fits.
create function fixed(p "position") returns boolean
language sql stable set search_path = public, pg_temp as $$
  with taken as (
    select m.kind, d.kind as from_kind, d.bu - d.au as du, d.bv - d.av as dv
      from measurement m left join datum d on d.firm_id = m.firm_id and d.id = m.from_id
     where m.firm_id = p.firm_id and m.room_id = p.room_id and m.struck_at is null
       and p.id in (m.of_id, m.to_position_id) and not unrecorded(m)
  )
  select exists (
    select from taken a, taken b
     where a.kind = 'offset' and b.kind = 'offset' and a.from_kind <> 'point' and b.from_kind <> 'point'
       and abs(a.du * b.dv - a.dv * b.du)
           >= sin(radians(6)) * 0.999 * sqrt(a.du ^ 2 + a.dv ^ 2) * sqrt(b.du ^ 2 + b.dv ^ 2))
    or (select count(*) >= 2 and bool_or(kind = 'distance' or from_kind = 'point') from taken)
$$;

-- hard_rule names the first hard rule of a stage that the room does not meet
-- at the given time, in the order of the gates table; null where all are met.
create function hard_rule(firm uuid, room uuid, of_stage text, now timestamptz) returns text
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

create function guard_gate() returns trigger
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
create trigger guard before insert or update or delete on gate for each row execute function guard_gate();

create function stamp_sign_off() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform touch_room(new.firm_id, new.room_id);
  new.signed_in := pg_current_xact_id()::text::bigint;
  return new;
end $$;
create trigger stamp before insert on sign_off for each row execute function stamp_sign_off();

-- At the end of the transaction the gates of the room must stand in order: a
-- gate waits exactly while the one before it is not signed off. A gate that
-- was opened again has its line in the diary, and so has one that was signed.
create function gates_in_order() returns trigger
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
create constraint trigger in_order after update on gate
  deferrable initially deferred for each row execute function gates_in_order();

-- After first fix nothing is measured from a datum whose state is not known.
create function known_state() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if new.stage <> 'first_fix' and new.struck_at is null and unrecorded(new) then
    raise exception using errcode = 'LM001', message = new.name || ' does not say what state its datum was in.';
  end if;
  return new;
end $$;
create trigger known_state before insert or update on measurement for each row execute function known_state();
