-- Loses nothing.
-- Fixed: two recorded offsets from lines at least 6 degrees apart, or two
-- recorded measurements of which one is a straight distance. For straight
-- distances the adjustment is stricter: it also asks that one place only fits.
create or replace function fixed(p "position") returns boolean
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

create or replace function no_record(firm uuid, room uuid) returns text
language sql stable set search_path = public, pg_temp as $$
  select p.name from position p where p.firm_id = firm and p.room_id = room and p.omitted_at is null and not fixed(p)
   order by p.added_at, p.name limit 1
$$;

drop function fixed_on(uuid, uuid), adjusted(reading_sum[], int[], float8[], float8[], float8[], float8[]),
  start_places(reading_sum[], int[], float8[], boolean[]), only_place(bound[], float8[], float8[]),
  outside(float8[], float8[], float8, float8), ring_of(float8[]), crossings(bound, bound),
  sound(bound[], float8, float8), crossing_lines(bound[]), settle(bound[], float8, float8),
  bounds_of(int, reading_sum[], int[], float8[], float8[], float8[]), sums_on(uuid, uuid), datums_on(uuid, uuid),
  shared_unknowns(uuid, uuid), length_of(float8, float8);
drop type reading_sum, bound;
