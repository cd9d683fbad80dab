-- Which wall of the room's outline a surface or a face is: its place there, from 1; 0: none, or not known. A
-- wall's elevation is one, a slope rises from one, and so do the faces of ceilings, floors and elevations lie
-- along one. The same wall is thereby known as one wherever it appears (domain/room/wall.go).
alter table room no force row level security;
alter table surface disable trigger user, no force row level security;
alter table datum disable trigger user, no force row level security;
alter table surface add column wall int not null default 0 check (wall between 0 and 100),
  add check (wall = 0 or kind in ('wall', 'slope'));
alter table datum add column wall int not null default 0 check (wall between 0 and 100),
  add check (wall = 0 or kind = 'face');

-- What there is already is told by where it lies, and by its name only where two walls are equally long.
create temporary table outline_wall on commit drop as
  with corner as (
    select r.firm_id, r.id as room_id, c.n::int as n, jsonb_array_length(r.outline) as corners,
           (c.at ->> 0)::float8 as u, (c.at ->> 1)::float8 as v
      from room r, jsonb_array_elements(case when jsonb_typeof(r.outline) = 'array' then r.outline else '[]' end)
        with ordinality as c(at, n)
     where jsonb_typeof(c.at) = 'array' and jsonb_typeof(c.at -> 0) = 'number' and jsonb_typeof(c.at -> 1) = 'number'
  ), line as (
    select a.firm_id, a.room_id, a.n as wall, a.corners, a.u as au, a.v as av, b.u as bu, b.v as bv,
           sqrt((b.u - a.u) ^ 2 + (b.v - a.v) ^ 2) as length
      from corner a join corner b on (b.firm_id, b.room_id, b.n) = (a.firm_id, a.room_id, a.n % a.corners + 1)
  )
  -- hollow: the corner at the wall's beginning is one that a person can stand in.
  select l.*, ((p.bu - p.au) * (l.bv - l.av) - (p.bv - p.av) * (l.bu - l.au)) > 0.02 * p.length * l.length as hollow
    from line l join line p on (p.firm_id, p.room_id, p.wall)
      = (l.firm_id, l.room_id, (l.wall + l.corners - 2) % l.corners + 1)
   where l.length >= 1 and p.length >= 1;

-- A face lies along a wall with both its ends, to a millimetre, and the same way round.
update datum set wall = found.wall
  from (select d.firm_id, d.id, min(w.wall) as wall
    from datum d join surface s on (s.firm_id, s.id) = (d.firm_id, d.surface_id)
      join outline_wall w on (w.firm_id, w.room_id) = (d.firm_id, d.room_id),
      lateral (select (w.bu - w.au) / w.length as eu, (w.bv - w.av) / w.length as ev) e,
      lateral (select (d.au - w.au) * eu + (d.av - w.av) * ev as a, (d.bu - w.au) * eu + (d.bv - w.av) * ev as b,
        abs((d.av - w.av) * eu - (d.au - w.au) * ev) as off_a,
        abs((d.bv - w.av) * eu - (d.bu - w.au) * ev) as off_b) f
   where s.kind in ('ceiling', 'floor') and d.kind = 'face' and f.off_a <= 1 and f.off_b <= 1
     and f.a >= -1 and f.b <= w.length + 1 and f.b - f.a >= 3
   group by d.firm_id, d.id) found
 where (datum.firm_id, datum.id) = (found.firm_id, found.id);

-- A wall or slope that was drawn from the room's is a rectangle as long as its wall.
create temporary table elevation on commit drop as
  select s.firm_id, s.room_id, s.id, s.name, s.kind, (s.outline #>> '{1,0}')::float8 as length
    from surface s
   where s.kind in ('wall', 'slope') and jsonb_typeof(s.outline) = 'array' and jsonb_array_length(s.outline) = 4
     and s.outline = jsonb_build_array(jsonb_build_array(0, 0), jsonb_build_array(s.outline #> '{1,0}', 0),
       jsonb_build_array(s.outline #> '{1,0}', s.outline #> '{3,1}'), jsonb_build_array(0, s.outline #> '{3,1}'))
     and jsonb_typeof(s.outline #> '{1,0}') = 'number';
update surface s set wall = found.wall
  from (select e.firm_id, e.id, min(w.wall) as wall
    from elevation e join outline_wall w on (w.firm_id, w.room_id) = (e.firm_id, e.room_id)
      and abs(w.length - e.length) < 1,
      lateral (select count(*) as alike from outline_wall o where (o.firm_id, o.room_id) = (e.firm_id, e.room_id)
        and abs(o.length - e.length) < 1) c,
      lateral (select lower(e.name) = e.kind || ' ' || w.wall or exists (select from datum d join surface o
          on (o.firm_id, o.id) = (d.firm_id, d.surface_id)
        where (d.firm_id, d.room_id, d.wall) = (w.firm_id, w.room_id, w.wall)
          and lower(d.name) = lower(e.name)) as yes) named
   where c.alike = 1 or named.yes
   group by e.firm_id, e.id having count(*) = 1) found
 where (s.firm_id, s.id) = (found.firm_id, found.id);

-- The sides of an elevation, as one sees it from inside the room: on the left the next wall round, on the right
-- the one before, where a hollow corner lies between. A slope begins at its own wall.
update datum d set wall = case
    when abs(d.av) < 1 and abs(d.bv) < 1 and s.kind = 'slope' then w.wall
    when abs(d.au) < 1 and abs(d.bu) < 1 and next.hollow then next.wall
    when abs(d.au - w.length) < 1 and abs(d.bu - w.length) < 1 and w.hollow
      then (w.wall + w.corners - 2) % w.corners + 1
    else 0 end
  from surface s join outline_wall w on (w.firm_id, w.room_id, w.wall) = (s.firm_id, s.room_id, s.wall)
    join outline_wall next on (next.firm_id, next.room_id, next.wall) = (w.firm_id, w.room_id, w.wall % w.corners + 1)
 where (s.firm_id, s.id) = (d.firm_id, d.surface_id) and d.kind = 'face';

-- A reading from a face says whether it was bare. One that did not, of a face on which nothing had been planned by
-- then, was of the bare face: told by the diary's last line about the reading, or by the sheet it came from. So what
-- is planned on the face later leaves it as it is.
alter table diary no force row level security;
alter table measurement disable trigger user, no force row level security;
create temporary table stateless on commit drop as
  with line as (
    select d.firm_id, d.room_id, d.seq, d.act, d.detail::jsonb as detail from diary d
     where d.act in ('measure', 'correct', 'plan_build_up', 'import_room')
  ), told as (
    select l.firm_id, l.room_id, l.seq, coalesce(m.it ->> 'id', m.it ->> 'ID') as id
      from line l, lateral (select case l.act when 'measure' then l.detail
        else coalesce(l.detail -> 'after', l.detail -> 'After') end as it) m
     where l.act in ('measure', 'correct')
  ), planned as (
    select l.firm_id, l.room_id, l.seq, f.datum,
           jsonb_array_length(coalesce(nullif(coalesce(l.detail -> 'layers', l.detail -> 'Layers'), 'null'), '[]'))
             as layers
      from line l, jsonb_array_elements_text(coalesce(nullif(coalesce(l.detail -> 'datums', l.detail -> 'Datums'),
        'null'), '[]')) as f(datum)
     where l.act = 'plan_build_up'
  ), brought as (
    select l.firm_id, l.room_id, l.seq, s.it ->> 'id' as surface, d.it ->> 'id' as datum,
           jsonb_array_length(coalesce(nullif(d.it -> 'layers', 'null'), '[]')) as layers
      from line l, jsonb_array_elements(l.detail -> 'surfaces') as s(it),
        jsonb_array_elements(coalesce(nullif(s.it -> 'datums', 'null'), '[]')) as d(it)
     where l.act = 'import_room'
  ), face as (
    select m.firm_id, m.id, m.room_id, e.which, d.id as datum, d.name, s.name as surface,
           coalesce((select max(t.seq) from told t
             where (t.firm_id, t.room_id, t.id) = (m.firm_id, m.room_id, m.id::text)),
             (select min(b.seq) from brought b where (b.firm_id, b.room_id) = (m.firm_id, m.room_id))) as seq
      from measurement m cross join lateral (values ('from', m.from_id, m.state_known), ('to', m.to_id, m.to_state_known))
        as e(which, datum, known)
      join datum d on d.firm_id = m.firm_id and d.id = e.datum and d.kind = 'face'
      join surface s on s.firm_id = d.firm_id and s.id = d.surface_id
     where m.kind in ('offset', 'span') and m.struck_at is null and not e.known
  )
  select f.firm_id, f.id, f.which from face f
   where f.seq is not null and coalesce(
     (select p.layers from planned p where (p.firm_id, p.room_id, p.datum) = (f.firm_id, f.room_id, f.datum::text)
        and p.seq < f.seq order by p.seq desc limit 1),
     (select b.layers from brought b where (b.firm_id, b.room_id, b.surface, b.datum)
        = (f.firm_id, f.room_id, f.surface, f.name) limit 1), 0) = 0;
update measurement m set state_known = true
  from stateless s where (s.firm_id, s.id, s.which) = (m.firm_id, m.id, 'from');
update measurement m set to_state_known = true
  from stateless s where (s.firm_id, s.id, s.which) = (m.firm_id, m.id, 'to');
alter table measurement enable trigger user, force row level security;
alter table diary force row level security;

alter table datum enable trigger user, force row level security;
alter table surface enable trigger user, force row level security;
alter table room force row level security;
