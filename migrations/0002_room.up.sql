-- Jobs, their diaries, and rooms with what was measured in them.
create table job (
  firm_id    uuid not null references firm,
  id         uuid not null,
  name       text not null check (name ~ '\S' and length(name) <= 120),
  address    text not null default '' check (length(address) <= 400),
  created_at timestamptz not null,
  primary key (firm_id, id)
);

-- A client's private way to see one job. Only the token's SHA-256 is kept.
create table client_link (
  firm_id    uuid not null references firm,
  hash       bytea not null check (length(hash) = 32),
  job_id     uuid not null,
  created_at timestamptz not null,
  ended_at   timestamptz,
  primary key (firm_id, hash),
  foreign key (firm_id, job_id) references job
);

-- The site diary: append-only, each entry carrying the hash of the one before
-- it in its job. detail is json and not jsonb so that its text is kept to the
-- byte, as the hash covers it.
create table diary (
  firm_id   uuid not null references firm,
  job_id    uuid not null,
  seq       bigint not null check (seq >= 1),
  at        timestamptz not null,
  member_id uuid,
  who       text not null check (who !~ E'\n'),
  act       text not null,
  room_id   uuid,
  stage     text,
  says      text not null check (says !~ E'\n'),
  detail    json not null,
  prev      bytea not null check (length(prev) = 32),
  hash      bytea not null check (length(hash) = 32),
  written_in bigint not null default pg_current_xact_id()::text::bigint,
  primary key (firm_id, job_id, seq),
  foreign key (firm_id, job_id) references job,
  foreign key (firm_id, member_id) references member
);
create index diary_room on diary (firm_id, room_id, seq);

create table room (
  firm_id    uuid not null references firm,
  id         uuid not null,
  job_id     uuid not null,
  name       text not null check (name ~ '\S' and length(name) <= 120),
  place      int not null default 0,
  -- corners [[x, y], ...] in mm, anticlockwise, the first wall at the bottom
  outline    jsonb not null check (jsonb_typeof(outline) = 'array' and jsonb_array_length(outline) >= 3),
  height_mm  double precision not null check (height_mm > 0 and height_mm <= 100000),
  -- baths and showers: [{"kind": "bath", "outline": [[x, y], ...]}, ...]
  wet        jsonb not null default '[]' check (jsonb_typeof(wet) = 'array'),
  created_at timestamptz not null,
  -- moved on by every write to anything in the room, once per transaction
  revision   bigint not null default 1,
  touched    bigint not null default 0,
  version    bigint not null default 1,
  primary key (firm_id, id),
  unique (firm_id, job_id, name),
  unique (firm_id, job_id, id),
  foreign key (firm_id, job_id) references job
);

create table surface (
  firm_id uuid not null references firm,
  id      uuid not null,
  room_id uuid not null,
  name    text not null check (name ~ '\S' and length(name) <= 60),
  kind    text not null check (kind in ('ceiling', 'slope', 'wall', 'floor')),
  place   int not null,
  pitch   double precision not null default 0 check (pitch > -80 and pitch < 80),
  -- corners [[u, v], ...] in the surface's own frame, mm, anticlockwise
  outline jsonb not null check (jsonb_typeof(outline) = 'array' and jsonb_array_length(outline) >= 3),
  primary key (firm_id, id),
  unique (firm_id, room_id, name),
  unique (firm_id, room_id, id),
  foreign key (firm_id, room_id) references room
);

create table datum (
  firm_id    uuid not null references firm,
  id         uuid not null,
  room_id    uuid not null,
  surface_id uuid not null,
  name       text not null check (name ~ '\S' and length(name) <= 60),
  kind       text not null check (kind in ('face', 'line', 'point')),
  place      int not null,
  au double precision not null check (abs(au) <= 100000),
  av double precision not null check (abs(av) <= 100000),
  bu double precision check (abs(bu) <= 100000),
  bv double precision check (abs(bv) <= 100000),
  sigma_mm   double precision check (sigma_mm > 0 and sigma_mm <= 1000),
  lean       double precision not null default 0 check (lean > -80 and lean < 80),
  stays_bare boolean not null default false,
  primary key (firm_id, id),
  unique (firm_id, surface_id, name),
  unique (firm_id, surface_id, id),
  foreign key (firm_id, room_id, surface_id) references surface (firm_id, room_id, id),
  check ((kind = 'point') = (bu is null) and (bu is null) = (bv is null)),
  check (kind = 'point' or au <> bu or av <> bv),
  check (kind = 'face' or not stays_bare and lean = 0)
);

-- A planned layer: of a face, or of the surface itself where datum_id is null.
create table layer (
  firm_id      uuid not null references firm,
  id           uuid not null,
  room_id      uuid not null,
  surface_id   uuid not null,
  datum_id     uuid,
  place        int not null check (place between 1 and 20),
  name         text not null check (name ~ '\S' and name <> 'bare' and length(name) <= 60),
  thickness_mm double precision not null check (thickness_mm > 0 and thickness_mm <= 1000),
  sigma_mm     double precision check (sigma_mm > 0 and sigma_mm <= 1000),
  stage        text not null check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  primary key (firm_id, id),
  unique nulls not distinct (firm_id, surface_id, datum_id, place),
  unique nulls not distinct (firm_id, surface_id, datum_id, name),
  unique (firm_id, datum_id, id),
  unique (firm_id, room_id, id),
  unique (firm_id, id, stage),
  foreign key (firm_id, room_id, surface_id) references surface (firm_id, room_id, id),
  foreign key (firm_id, surface_id, datum_id) references datum (firm_id, surface_id, id)
);

create table timber (
  firm_id    uuid not null references firm,
  id         uuid not null,
  room_id    uuid not null,
  surface_id uuid not null,
  name       text not null check (name ~ '\S' and length(name) <= 60),
  au double precision not null check (abs(au) <= 100000),
  av double precision not null check (abs(av) <= 100000),
  bu double precision not null check (abs(bu) <= 100000),
  bv double precision not null check (abs(bv) <= 100000),
  width_mm   double precision not null check (width_mm > 0 and width_mm <= 1000),
  depth_mm   double precision check (depth_mm > 0 and depth_mm <= 2000),
  sigma_mm   double precision check (sigma_mm > 0 and sigma_mm <= 1000),
  primary key (firm_id, id),
  unique (firm_id, surface_id, name),
  foreign key (firm_id, room_id, surface_id) references surface (firm_id, room_id, id),
  check (au <> bu or av <> bv)
);

create table position (
  firm_id       uuid not null references firm,
  id            uuid not null,
  room_id       uuid not null,
  surface_id    uuid not null,
  name          text not null check (name ~ '\S' and length(name) <= 60),
  kind          text not null check (length(kind) <= 60),
  trade         text not null check (trade in ('electrician', 'plumber', 'dry_liner', 'plasterer', 'tiler', 'joiner',
    'decorator')),
  cutout_mm     double precision not null default 0 check (cutout_mm >= 0 and cutout_mm <= 1000),
  reach_mm      double precision check (reach_mm > 0 and reach_mm <= 5000),
  tail_sigma_mm double precision check (tail_sigma_mm > 0 and tail_sigma_mm <= 1000),
  -- where the schedule wants it; the record says where it is
  planned_u     double precision check (abs(planned_u) <= 100000),
  planned_v     double precision check (abs(planned_v) <= 100000),
  added_at      timestamptz not null,
  held          boolean not null default false,
  held_why      text not null default '',
  omitted_at    timestamptz,
  omitted_why   text not null default '',
  version       bigint not null default 1,
  primary key (firm_id, id),
  unique (firm_id, room_id, name),
  unique (firm_id, surface_id, id),
  unique (firm_id, room_id, id),
  foreign key (firm_id, room_id, surface_id) references surface (firm_id, room_id, id),
  check (held = (held_why ~ '\S')),
  check ((omitted_at is not null) = (omitted_why ~ '\S')),
  check ((planned_u is null) = (planned_v is null))
);

-- One reading. A state is the layer that was outermost: no layer and known is
-- bare; not known is an unrecorded datum. Readings are struck out, never
-- deleted.
create table measurement (
  firm_id        uuid not null references firm,
  id             uuid not null,
  room_id        uuid not null,
  surface_id     uuid not null,
  name           text not null,
  kind           text not null check (kind in ('offset', 'span', 'distance', 'thickness')),
  stage          text not null check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  of_id          uuid,
  to_position_id uuid,
  from_id        uuid,
  to_id          uuid,
  state_known    boolean not null,
  state_id       uuid,
  to_state_known boolean not null default true,
  to_state_id    uuid,
  from_state_id  uuid,
  surface_state_id uuid,
  value_mm       double precision not null check (abs(value_mm) <= 100000),
  sigma_mm       double precision check (sigma_mm > 0 and sigma_mm <= 1000),
  instrument     text not null check (instrument in ('tape', 'laser', 'rule')),
  taken_by       uuid,
  taken_at       timestamptz not null,
  struck_at      timestamptz,
  struck_why     text not null default '',
  version        bigint not null default 1,
  primary key (firm_id, id),
  unique (firm_id, room_id, name),
  foreign key (firm_id, room_id, surface_id) references surface (firm_id, room_id, id),
  foreign key (firm_id, surface_id, of_id) references position (firm_id, surface_id, id),
  foreign key (firm_id, surface_id, to_position_id) references position (firm_id, surface_id, id),
  foreign key (firm_id, surface_id, from_id) references datum (firm_id, surface_id, id),
  foreign key (firm_id, surface_id, to_id) references datum (firm_id, surface_id, id),
  foreign key (firm_id, from_id, state_id) references layer (firm_id, datum_id, id),
  foreign key (firm_id, to_id, to_state_id) references layer (firm_id, datum_id, id),
  foreign key (firm_id, from_id, from_state_id) references layer (firm_id, datum_id, id),
  foreign key (firm_id, room_id, surface_state_id) references layer (firm_id, room_id, id),
  foreign key (firm_id, taken_by) references member,
  check ((kind in ('offset', 'distance')) = (of_id is not null)),
  check ((kind = 'distance') = (to_position_id is not null)),
  check (of_id <> to_position_id),
  check ((kind <> 'distance') = (from_id is not null)),
  check ((kind = 'span') = (to_id is not null)),
  check (from_id <> to_id),
  check (state_known or state_id is null),
  check (to_state_known or to_state_id is null),
  check ((struck_at is not null) = (struck_why ~ '\S'))
);
create index measurement_room on measurement (firm_id, room_id);
create index measurement_of on measurement (firm_id, of_id);
