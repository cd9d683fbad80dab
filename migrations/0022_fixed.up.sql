-- Which positions are fixed, a second time after domain/geometry: determinate.go
-- and place.go find where each position starts, adjust.go moves all of them
-- together, and a position that rests on a straight distance counts where its
-- directions still cross well enough after that.
--
-- Only the adjustment knows whether they do. A margin in its stead would have to
-- be wide to be never laxer: one gross slip in a span may turn a direction by any
-- angle. So the adjustment is done here too, in full and not in part, and Go and
-- the database ask the very same, with no allowance on either side. It is only
-- done for a surface on which something rests on a straight distance. What cannot
-- be worked out, because its figures are beyond any tape, is not fixed.

-- A bound says where a position may be: on the line (u, v).p = value or, where it
-- is round, so far from the point (u, v); value is what it is worth to the priors.
create type bound as (round boolean, u float8, v float8, value float8, variance float8);

-- A reading_sum is a reading as an equation: of the position i, or of i and j, or
-- of none; of the shared unknowns in terms, each times its coef. raw is its value
-- and sigma its own, as the adjustment takes them.
create type reading_sum as (i int, j int, bound bound, raw float8, sigma float8, terms int[], coefs float8[]);

-- As Go's math.Hypot, to the last bit.
create function length_of(u float8, v float8) returns float8 language sql immutable as $$
  select case when u = 0 and v = 0 then 0
    else greatest(abs(u), abs(v)) * sqrt(1 + (least(abs(u), abs(v)) / greatest(abs(u), abs(v)))
      * (least(abs(u), abs(v)) / greatest(abs(u), abs(v)))) end
$$;

-- What the positions of a surface share: each datum's shift across itself (a
-- point's in u and in v), then the thickness of each layer of its faces and of its
-- own, which stand as they were put on where that is known. depth counts layers.
create function shared_unknowns(firm uuid, surface uuid)
returns table (k int, datum_id uuid, depth int, layer_id uuid, name text, prior float8, sigma float8)
language sql stable as $$
  select (row_number() over ())::int, * from (
    select d.id, 0, null::uuid, null::text, 0::float8,
           coalesce(d.sigma_mm, case d.kind when 'face' then 10 else 2 end)
      from datum d join (values (1), (2)) as shift(n) on n = 1 or d.kind = 'point'
     where d.firm_id = firm and d.surface_id = surface
    union all
    select l.datum_id, (row_number() over (partition by l.datum_id order by l.place))::int, l.id, l.name,
           coalesce(b.thickness_mm, l.thickness_mm),
           case when b.thickness_mm > 0 then coalesce(b.sigma_mm, 1) else coalesce(l.sigma_mm, 0.2 * l.thickness_mm) end
      from layer l
      left join datum d on d.firm_id = l.firm_id and d.id = l.datum_id
      left join as_built b on b.firm_id = l.firm_id and b.layer_id = l.id and l.datum_id is null and b.thickness_mm > 0
     where l.firm_id = firm and l.surface_id = surface and (l.datum_id is null or d.kind = 'face')
  ) shared
$$;

-- Datums with their unit normal into the room (none for a point) and their lean.
create function datums_on(firm uuid, surface uuid)
returns table (id uuid, kind text, au float8, av float8, bu float8, bv float8, nu float8, nv float8, sigma float8,
  secant float8, tangent float8)
language sql stable as $$
  select d.id, d.kind, d.au, d.av, d.bu, d.bv, -(d.bv - d.av) * per_mm, (d.bu - d.au) * per_mm,
         coalesce(d.sigma_mm, case d.kind when 'face' then 10 else 2 end), 1 / cos(radians(d.lean)),
         tan(radians(d.lean))
    from datum d, lateral (select case when length_of(d.bu - d.au, d.bv - d.av) < 1e-6 then 0
      else 1 / length_of(d.bu - d.au, d.bv - d.av) end) as size(per_mm)
   where d.firm_id = firm and d.surface_id = surface
$$;

-- The readings of a surface that take part: offsets by position, then distances,
-- then the others.
create function sums_on(firm uuid, surface uuid) returns setof reading_sum
language plpgsql stable as $$
begin
  return query
  with x as materialized (select * from shared_unknowns(firm, surface)),
  d as materialized (select * from datums_on(firm, surface)),
  p as materialized (select id, row_number() over (order by name collate "C")::int as i from "position"
     where firm_id = firm and surface_id = surface),
  m as materialized (select m.*, coalesce(m.sigma_mm, case m.instrument when 'laser' then 1.25 when 'rule' then 1
           else sqrt((0.3 + 0.2 * ceil(abs(m.value_mm) / 1000)) ^ 2 / 3 + 4) end) as sigma,
         coalesce((select x.depth from x where x.datum_id is null and x.name
           = (select l.name from layer l where l.firm_id = m.firm_id and l.id = m.surface_state_id)), 0) as own
    from measurement m where m.firm_id = firm and m.surface_id = surface and m.struck_at is null
     and m.room_id = (select s.room_id from surface s where s.firm_id = firm and s.id = surface)
     and (m.state_known and m.to_state_known or not unrecorded(m)))
  select a.i, b.i, row(m.kind = 'distance' or f.kind = 'point',
           case f.kind when 'point' then f.au else f.nu end, case f.kind when 'point' then f.av else f.nv end,
           case when f.kind <> 'point' then m.value_mm + f.nu * f.au + f.nv * f.av - cover.prior else m.value_mm end,
           m.sigma * m.sigma + case f.kind when 'point' then f.sigma * f.sigma else cover.variance end)::bound,
         case m.kind
           when 'span' then m.value_mm - (f.nu * ((t.au + t.bu) * 0.5 - f.au) + f.nv * ((t.av + t.bv) * 0.5 - f.av)
             + t.nu * ((f.au + f.bu) * 0.5 - t.au) + t.nv * ((f.av + f.bv) * 0.5 - t.av)) / 2
           when 'offset' then m.value_mm + case f.kind when 'point' then 0 else f.nu * f.au + f.nv * f.av end
           else m.value_mm end,
         m.sigma, cover.terms, cover.coefs
    from m
    left join p a on a.id = m.of_id left join p b on b.id = m.to_position_id
    left join d f on f.id = m.from_id left join d t on t.id = m.to_id,
    lateral (
      select coalesce(array_agg(k order by k), '{}') as terms, coalesce(array_agg(coef order by k), '{}') as coefs,
             coalesce(sum(coef * prior), 0) as prior, coalesce(sum(coef * coef * sigma * sigma), 0) as variance
        from (select x.k, x.prior, x.sigma, case when m.kind = 'thickness' then 1 when x.datum_id is null then e.tangent
                when x.depth = 0 then -1 else -e.secant end as coef
          from (values (m.from_id, m.state_id, f.secant, f.tangent), (m.to_id, m.to_state_id, t.secant, t.tangent))
            e(datum, state, secant, tangent)
          join x on x.datum_id = e.datum
              and x.depth <= coalesce((select y.depth from x y where y.layer_id = e.state), 0)
              and (m.kind <> 'thickness'
                or x.depth > coalesce((select y.depth from x y where y.layer_id = m.from_state_id), 0))
            or x.datum_id is null and e.datum is not null and e.tangent <> 0 and m.kind <> 'thickness'
              and x.depth <= m.own
        ) term) cover
   order by case m.kind when 'offset' then 0 when 'distance' then 1 else 2 end,
     case m.kind when 'offset' then a.i end, m.name collate "C";
end $$;

-- The bounds of a position from what is fixed: whose spread is known. Its offsets
-- are the sums from first[i] up to first[i + 1], distances come after the last.
create function bounds_of(i int, sums reading_sum[], first int[], u float8[], v float8[], spread float8[])
returns bound[] language plpgsql immutable as $$
declare
  list bound[] := '{}';
  s reading_sum;
  o int;
begin
  for k in first[i] .. first[i + 1] - 1 loop
    s := sums[k];
    list := list || s.bound;
  end loop;
  for k in first[cardinality(first)] .. cardinality(sums) loop
    s := sums[k];
    exit when s.j is null;
    o := case i when s.i then s.j when s.j then s.i end;
    if spread[o] is not null then
      list := list || row(true, u[o], v[o], s.raw, s.sigma * s.sigma + spread[o])::bound;
    end if;
  end loop;
  return list;
end $$;

-- Weighted least squares over bounds from (u, v): the place, half the trace of
-- its covariance, and the weighted misfit; null where they do not fix both
-- directions.
create function settle(list bound[], u float8, v float8) returns float8[]
language plpgsql immutable strict as $$
declare
  b bound;
  uu float8; uv float8; vv float8; bu float8; bv float8; total float8;
  gu float8; gv float8; f float8; w float8; root float8; det float8;
begin
  for turn in 1 .. 20 loop
    uu := 0; uv := 0; vv := 0; bu := 0; bv := 0; total := 0;
    for k in 1 .. cardinality(list) loop
      b := list[k];
      gu := b.u; gv := b.v; w := 1 / b.variance;
      if b.round then
        gu := u - b.u; gv := v - b.v; f := length_of(gu, gv);
        root := case when f < 1e-6 then 0 else 1 / f end;
        gu := gu * root; gv := gv * root; f := f - b.value;
      else
        f := gu * u + gv * v - b.value;
      end if;
      root := sqrt(w);
      uu := uu + (gu * root) * (gu * root); uv := uv + (gu * root) * (gv * root); vv := vv + (gv * root) * (gv * root);
      bu := bu + gu * (-f * w); bv := bv + gv * (-f * w); total := total + f * f * w;
    end loop;
    det := uu * vv - uv * uv;
    if not det > 1e-12 * uu * vv then
      return null;
    end if;
    gu := vv / det * bu + -uv / det * bv; gv := -uv / det * bu + uu / det * bv;
    if length_of(gu, gv) < 1e-7 then
      return array[u, v, (vv / det + uu / det) / 2, total];
    end if;
    u := u + gu; v := v + gv;
  end loop;
  return null;
end $$;

-- The lines among bounds, where two of them cross by 6 degrees.
create function crossing_lines(list bound[]) returns bound[]
language sql immutable as $$
  select array_agg(a) from unnest(list) a where not a.round and exists (select from unnest(list) b, unnest(list) c
    where not b.round and not c.round and abs(b.u * c.v - b.v * c.u) >= 0.10452846326765347)
$$;

-- Whether two of the bounds cross by 10 degrees or more at (u, v).
create function sound(list bound[], u float8, v float8) returns boolean
language plpgsql immutable as $$
declare
  b bound;
  gu float8[]; gv float8[]; l float8;
begin
  for i in 1 .. cardinality(list) loop
    b := list[i]; gu[i] := b.u; gv[i] := b.v;
    if b.round then
      l := length_of(u - b.u, v - b.v);
      l := case when l < 1e-6 then 0 else 1 / l end;
      gu[i] := (u - b.u) * l; gv[i] := (v - b.v) * l;
    end if;
    for j in 1 .. i - 1 loop
      if abs(gu[i] * gv[j] - gv[i] * gu[j]) >= 0.17364817766693033 then
        return true;
      end if;
    end loop;
  end loop;
  return false;
end $$;

-- The two places where a circle meets a line or a circle, u and v of each; none
-- where they miss each other, and none for two lines.
create function crossings(a bound, b bound) returns float8[]
language plpgsql immutable as $$
declare
  o bound := a;
  fu float8; fv float8; du float8; dv float8; l float8; half float8;
begin
  if not a.round then
    a := b; b := o;
  end if;
  if not a.round then
    return '{}';
  end if;
  if b.round then
    du := b.u - a.u; dv := b.v - a.v; l := length_of(du, dv);
    if l < 1e-6 then
      return '{}';
    end if;
    half := (l * l + a.value * a.value - b.value * b.value) / (2 * l);
    fu := a.u + du * (half / l); fv := a.v + dv * (half / l);
    o.u := -(dv * (1 / l)); o.v := du * (1 / l);
  else
    half := b.value - (b.u * a.u + b.v * a.v);
    fu := a.u + b.u * half; fv := a.v + b.v * half;
    o.u := -b.v; o.v := b.u;
  end if;
  half := a.value * a.value - ((fu - a.u) * (fu - a.u) + (fv - a.v) * (fv - a.v));
  if half < 0 then
    return '{}';
  end if;
  half := sqrt(half);
  return array[fu + o.u * half, fv + o.v * half, fu - o.u * half, fv - o.v * half];
end $$;

-- The corners (u and v of each) where faces, four figures each, close into one
-- ring; else null.
create function ring_of(faces float8[]) returns float8[]
language plpgsql immutable as $$
declare
  n int := cardinality(faces) / 4;
  corners float8[] := faces[1:2];
  used boolean[] := array_fill(false, array[n]);
  f int := 0;
  next int;
begin
  while n >= 3 and cardinality(corners) <= 2 * n loop
    used[f + 1] := true; next := null;
    for k in 0 .. n - 1 loop
      if length_of(faces[4 * k + 1] - faces[4 * f + 3], faces[4 * k + 2] - faces[4 * f + 4]) < 1
          and (not used[k + 1] or k = 0 and cardinality(corners) = 2 * n) then
        next := k;
        exit;
      end if;
    end loop;
    if next is null or next = 0 then
      return case next when 0 then corners end;
    end if;
    corners := corners || faces[4 * next + 1:4 * next + 2]; f := next;
  end loop;
  return null;
end $$;

-- Whether (u, v) is surely not in the room: outside the ring or, where there is
-- none, behind a face between its ends; and within 50 mm of no face.
create function outside(faces float8[], corners float8[], u float8, v float8) returns boolean
language plpgsql immutable as $$
declare
  behind boolean := corners is not null;
  inside boolean := false;
  n int := coalesce(cardinality(corners) / 2, 0);
  au float8; av float8; du float8; dv float8; l float8; foot float8; bu float8; bv float8;
begin
  for k in 0 .. cardinality(faces) / 4 - 1 loop
    au := faces[4 * k + 1]; av := faces[4 * k + 2];
    du := faces[4 * k + 3] - au; dv := faces[4 * k + 4] - av; l := length_of(du, dv);
    foot := case when l < 1e-6 then 0 else 1 / l end;
    du := du * foot; dv := dv * foot; foot := (u - au) * du + (v - av) * dv;
    bu := au + du * greatest(0, least(l, foot)); bv := av + dv * greatest(0, least(l, foot));
    if length_of(bu - u, bv - v) <= 50 then
      return false;
    end if;
    behind := behind or foot >= 0 and foot <= l and -dv * (u - au) + du * (v - av) < 0;
  end loop;
  for k in 0 .. n - 1 loop
    au := corners[2 * k + 1]; av := corners[2 * k + 2];
    bu := corners[2 * ((k + 1) % n) + 1]; bv := corners[2 * ((k + 1) % n) + 2];
    if (av > v) <> (bv > v) and u < au + (v - av) / (bv - av) * (bu - au) then
      inside := not inside;
    end if;
  end loop;
  return behind and not inside;
end $$;

-- The place that fits all bounds about as well as the best one does, as settle
-- has it, where there is just one: of every pair's crossings, settled over all,
-- within the room and sound.
create function only_place(list bound[], faces float8[], corners float8[]) returns float8[]
language plpgsql immutable as $$
declare
  found float8[] := '{}'; -- places that fit, four figures each
  best float8;
  fit float8[];
  p float8[];
  c float8[];
begin
  for i in 2 .. cardinality(list) loop
    for j in 1 .. i - 1 loop
      c := crossings(list[j], list[i]);
      <<each>>
      for side in 1 .. cardinality(c) / 2 loop
        p := settle(list, c[2 * side - 1], c[2 * side]);
        continue when p is null or outside(faces, corners, p[1], p[2]) or not sound(list, p[1], p[2]);
        for k in 0 .. cardinality(found) / 4 - 1 loop
          continue each when length_of(found[4 * k + 1] - p[1], found[4 * k + 2] - p[2]) < 1e-3;
        end loop;
        found := found || p;
        best := least(best, p[4]);
      end loop;
    end loop;
  end loop;
  for k in 0 .. cardinality(found) / 4 - 1 loop
    if found[4 * k + 4] <= best + 3.29 * 3.29 then
      if fit is not null then
        return null;
      end if;
      fit := found[4 * k + 1:4 * k + 4];
    end if;
  end loop;
  return fit;
end $$;

-- Where the positions start: those that lines fix, as many as lines says, then
-- what is fixed from what was fixed before it, a round at a time; by_turn in the
-- order in which they were fixed, u, v and spread by position.
create function start_places(sums reading_sum[], first int[], faces float8[], barred boolean[],
  out by_turn int[], out lines int, out u float8[], out v float8[], out spread float8[])
language plpgsql immutable as $$
declare
  n int := cardinality(first) - 1;
  corners float8[] := ring_of(faces);
  asked boolean[] := array_fill(true, array[n]);
  wide float8[] := array_fill(null::float8, array[n]);
  new int[] := '{}';
  s reading_sum;
  p float8[];
begin
  u := wide; v := wide; spread := wide; by_turn := '{}';
  for i in 1 .. n loop
    p := settle(crossing_lines(bounds_of(i, sums, first, u, v, spread)), 0, 0);
    if p is not null then
      by_turn := by_turn || i;
      u[i] := p[1]; v[i] := p[2]; wide[i] := p[3];
    end if;
  end loop;
  lines := cardinality(by_turn);
  spread := wide;
  loop
    new := '{}';
    for i in 1 .. n loop
      continue when spread[i] is not null or barred[i] or not asked[i];
      p := only_place(bounds_of(i, sums, first, u, v, spread), faces, corners);
      if p is not null then
        new := new || i;
        u[i] := p[1]; v[i] := p[2]; wide[i] := p[3];
      end if;
    end loop;
    exit when new = '{}';
    by_turn := by_turn || new;
    spread := wide;
    asked := array_fill(false, array[n]);
    for k in first[n + 1] .. cardinality(sums) loop -- only what they are taped to has learned anything
      s := sums[k];
      exit when s.j is null;
      asked[s.i] := asked[s.i] or s.j = any (new);
      asked[s.j] := asked[s.j] or s.i = any (new);
    end loop;
  end loop;
end $$;

-- What is fixed after the adjustment of all that takes part, as Gauss and Newton
-- have it: u and v are moved from where they start, or are null where that does
-- not settle. The unknowns are the shared
-- ones, then the positions by turn, and they are eliminated from the last one
-- back, so that what rests on others goes before them.
create function adjusted(sums reading_sum[], by_turn int[], prior float8[], sigma float8[],
  inout u float8[], inout v float8[])
language plpgsql immutable as $$
declare
  nil constant float8 := 1e-20; -- less than this is nothing, or else products of it would be too small for a float8
  shared int := cardinality(prior);
  n int := shared + 2 * cardinality(by_turn);
  col int[] := array_fill(null::int, array[cardinality(u)]);
  x float8[] := prior; was float8[]; step float8[] := array_fill(0::float8, array[n]);
  normal float8[]; rhs float8[]; terms int[]; coefs float8[]; near int[]; above int;
  s reading_sum; b bound;
  total float8; before float8; part float8 := 1; largest float8; f float8; w float8; gu float8; gv float8;
  turn int := 0; at int;
begin
  for k in 1 .. cardinality(by_turn) loop
    col[by_turn[k]] := shared + 2 * k - 1;
    x := x || u[by_turn[k]] || v[by_turn[k]];
  end loop;
  loop
    normal := array_fill(0::float8, array[n * n]); rhs := array_fill(0::float8, array[n]); total := 0;
    for k in 1 .. shared loop
      w := 1 / (sigma[k] * sigma[k]); f := prior[k] - x[k];
      normal[(k - 1) * n + k] := w; rhs[k] := f * w; total := total + f * f * w;
    end loop;
    for k in 1 .. cardinality(sums) loop
      s := sums[k];
      continue when s.i is not null and col[s.i] is null or s.j is not null and col[s.j] is null;
      b := s.bound; terms := s.terms; coefs := s.coefs; f := s.raw; w := 1 / (s.sigma * s.sigma);
      if b.round then
        if s.j is not null then
          terms := array[col[s.j], col[s.j] + 1]; b.u := 0; b.v := 0;
        end if;
        gu := x[col[s.i]] - b.u - x[terms[1]]; gv := x[col[s.i] + 1] - b.v - x[terms[2]];
        f := length_of(gu, gv);
        gu := case when f < 1e-6 or abs(gu) < nil then 0 else gu / f end;
        gv := case when f < 1e-6 or abs(gv) < nil then 0 else gv / f end;
        f := s.raw - f;
        terms := terms || col[s.i] || col[s.i] + 1; coefs := array[-gu, -gv, gu, gv];
      else
        if s.i is not null then
          terms := terms || col[s.i] || col[s.i] + 1; coefs := coefs || b.u || b.v;
        end if;
        for p in 1 .. cardinality(terms) loop
          f := f - coefs[p] * x[terms[p]];
        end loop;
      end if;
      f := case when abs(f) < nil then 0 else f end;
      total := total + f * f * w;
      for p in 1 .. cardinality(terms) loop
        rhs[terms[p]] := rhs[terms[p]] + coefs[p] * f * w;
        above := (terms[p] - 1) * n;
        for q in 1 .. cardinality(terms) loop
          if terms[q] <= terms[p] then
            normal[above + terms[q]] := normal[above + terms[q]] + coefs[p] * coefs[q] * w;
          end if;
        end loop;
      end loop;
    end loop;

    if turn > 0 then
      if total > before * (1 + 1e-9) + 1e-12 and part >= 1e-3 then
        part := part / 2;
        for k in 1 .. n loop
          x[k] := was[k] + part * step[k];
        end loop;
        continue;
      end if;
      exit when largest < 1e-7;
      if turn = 40 then
        u := null; v := null;
        return;
      end if;
    end if;

    for p in reverse n .. 1 loop
      above := (p - 1) * n; near := '{}';
      for q in 1 .. p - 1 loop
        if abs(normal[above + q]) > nil * nil then
          near := near || q;
        end if;
      end loop;
      for i in 1 .. cardinality(near) loop
        f := normal[above + near[i]] / normal[above + p];
        rhs[near[i]] := rhs[near[i]] - f * rhs[p];
        for j in 1 .. i loop
          at := (near[i] - 1) * n + near[j];
          normal[at] := normal[at] - f * normal[above + near[j]];
        end loop;
      end loop;
    end loop;
    largest := 0;
    for p in 1 .. n loop
      above := (p - 1) * n; f := rhs[p];
      for q in 1 .. p - 1 loop
        if abs(normal[above + q]) > nil * nil then
          f := f - normal[above + q] * step[q];
        end if;
      end loop;
      step[p] := case when abs(f) < nil * nil then 0 else f / normal[above + p] end;
      step[p] := case when abs(step[p]) < nil then 0 else step[p] end;
      largest := greatest(largest, abs(step[p]));
    end loop;
    was := x; before := total; part := 1; turn := turn + 1;
    for k in 1 .. n loop
      x[k] := x[k] + step[k];
    end loop;
  end loop;
  for k in 1 .. cardinality(by_turn) loop
    u[by_turn[k]] := x[shared + 2 * k - 1]; v[by_turn[k]] := x[shared + 2 * k];
  end loop;
end $$;

-- The positions of a surface that are fixed.
create function fixed_on(firm uuid, surface uuid) returns setof uuid
language plpgsql stable set search_path = public, pg_temp set jit = off as $$
declare
  ids uuid[]; sums reading_sum[]; faces float8[]; prior float8[]; sigma float8[];
  first int[];
  at int := 1;
  start record; moved record;
  barred boolean[];
  sure int[] := '{}'; bad int[];
begin
  select array_agg(p.id order by p.name collate "C") into ids from "position" p
   where p.firm_id = firm and p.surface_id = surface;
  if ids is null then
    return;
  end if;
  select coalesce(array_agg(s), '{}') into sums from sums_on(firm, surface) s;
  select coalesce(array_agg(x.prior order by x.k), '{}'), coalesce(array_agg(x.sigma order by x.k), '{}')
    into prior, sigma from shared_unknowns(firm, surface) x;
  select coalesce(array_agg(c order by d.name collate "C", n), '{}') into faces
    from datum d, unnest(array[d.au, d.av, d.bu, d.bv]) with ordinality as corner(c, n)
   where d.firm_id = firm and d.surface_id = surface and d.kind = 'face';
  for i in 1 .. cardinality(ids) + 1 loop
    first[i] := at;
    while at <= cardinality(sums) and sums[at].i = i and sums[at].j is null loop
      at := at + 1;
    end loop;
  end loop;
  barred := array_fill(false, array[cardinality(ids)]);
  loop
    start := start_places(sums, first, faces, barred);
    sure := start.by_turn[:start.lines];
    exit when cardinality(start.by_turn) = start.lines;
    moved := adjusted(sums, start.by_turn, prior, sigma, start.u, start.v);
    bad := array(select i from unnest(start.by_turn[start.lines + 1:]) i where moved.u is null
      or not sound(bounds_of(i, sums, first, start.u, start.v, start.spread), moved.u[i], moved.v[i]));
    exit when bad = '{}';
    for k in 1 .. cardinality(bad) loop
      barred[bad[k]] := true;
    end loop;
  end loop;
  return query select ids[i] from unnest(start.by_turn) i;
exception when numeric_value_out_of_range or division_by_zero then -- figures beyond any tape
  return query select ids[i] from unnest(sure) i;
end $$;

-- Fixed: two recorded offsets from lines that cross by 6 degrees or more, which
-- needs no sums unless somebody claims to know one far better than another; else
-- what the sums of its surface say, which only straight distances can help.
create or replace function fixed(p "position") returns boolean
language sql stable set search_path = public, pg_temp set jit = off as $$
  with taken as materialized (
    select m.kind = 'distance' or d.kind = 'point' as straight, d.nu, d.nv, least(m.sigma_mm, d.sigma) as best
      from measurement m left join datums_on(p.firm_id, p.surface_id) d on d.id = m.from_id
     where m.firm_id = p.firm_id and m.room_id = p.room_id and m.surface_id = p.surface_id and m.struck_at is null
       and p.id in (m.of_id, m.to_position_id) and (m.state_known or not unrecorded(m))
  ), crossing as materialized (
    select exists (select from taken a, taken b where not a.straight and not b.straight
      and abs(a.nu * b.nv - a.nv * b.nu) >= 0.10452846326765347) as yes
  )
  select case
    when (select yes from crossing) and (select count(*) <= 30 and min(best) >= 1 from taken) then true
    when (select yes from crossing) or (select count(*) >= 2 and bool_or(straight) from taken)
      then p.id in (select fixed_on(p.firm_id, p.surface_id))
    else false end
$$;

-- As before (0020), and each surface is worked out once.
create or replace function no_record(firm uuid, room uuid) returns text
language sql stable set search_path = public, pg_temp as $$
  select p.name from position p where p.firm_id = firm and p.room_id = room and p.omitted_at is null
     and p.id not in (select fixed_on(firm, s.id) from surface s where s.firm_id = firm and s.room_id = room)
   order by p.added_at, p.name limit 1
$$;
