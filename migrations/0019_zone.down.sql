-- Loses the firms' time zones.
drop trigger offered_in_order on gate;
drop trigger in_order on as_built;
drop trigger in_order on finished;
drop trigger in_order on opening;
drop trigger in_order on patch;
drop trigger in_order on snag;
drop function in_order(), refuse_order(boolean, text), stage_before(text), first_signed(uuid, uuid, text);

-- hard_rule names the first hard rule of a stage that the room does not meet
-- at the given time, in the order of the gates table; null where all are met.
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

drop function day_of(uuid, timestamptz);
drop trigger touch_firm on firm;
drop trigger known_zone on firm;
drop trigger known_zone_new on firm;
drop function known_zone();
alter table firm drop column zone;
