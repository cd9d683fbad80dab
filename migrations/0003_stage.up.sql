-- What each stage leaves behind, its gate, and its sign-offs.
create table tail_seen (
  firm_id     uuid not null references firm,
  position_id uuid not null,
  room_id     uuid not null,
  seen_by     uuid,
  seen_at     timestamptz not null,
  primary key (firm_id, position_id),
  foreign key (firm_id, room_id, position_id) references position (firm_id, room_id, id),
  foreign key (firm_id, seen_by) references member
);

-- A photo of a surface while it was open was taken; the note says where it is.
create table photo_note (
  firm_id    uuid not null references firm,
  id         uuid not null,
  room_id    uuid not null,
  surface_id uuid not null,
  says       text not null default '' check (length(says) <= 400),
  taken_by   uuid,
  taken_at   timestamptz not null,
  primary key (firm_id, id),
  foreign key (firm_id, room_id, surface_id) references surface (firm_id, room_id, id),
  foreign key (firm_id, taken_by) references member
);

-- A layer as it was put on. Its thickness is null where only a span across
-- the room tells it.
create table as_built (
  firm_id      uuid not null references firm,
  layer_id     uuid not null,
  room_id      uuid not null,
  stage        text not null check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  thickness_mm double precision check (thickness_mm >= 0 and thickness_mm <= 1000),
  sigma_mm     double precision check (sigma_mm > 0 and sigma_mm <= 1000),
  put_on       date not null,
  recorded_by  uuid,
  recorded_at  timestamptz not null,
  primary key (firm_id, layer_id),
  foreign key (firm_id, room_id, layer_id) references layer (firm_id, room_id, id),
  foreign key (firm_id, layer_id, stage) references layer (firm_id, id, stage),
  foreign key (firm_id, recorded_by) references member,
  check (thickness_mm is not null or sigma_mm is null)
);

-- The day a stage's wet work was finished.
create table finished (
  firm_id     uuid not null references firm,
  room_id     uuid not null,
  stage       text not null check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  finished_on date not null,
  recorded_by uuid,
  recorded_at timestamptz not null,
  primary key (firm_id, room_id, stage),
  foreign key (firm_id, room_id) references room,
  foreign key (firm_id, recorded_by) references member
);

-- A hole that was cut, with what it showed.
create table opening (
  firm_id         uuid not null references firm,
  id              uuid not null,
  room_id         uuid not null,
  position_id     uuid not null,
  outcome         text not null check (outcome in ('found', 'hooked_out', 'not_found', 'on_timber')),
  new_position_id uuid,
  says            text not null default '' check (length(says) <= 400),
  opened_by       uuid,
  opened_at       timestamptz not null,
  recorded_at     timestamptz not null,
  primary key (firm_id, id),
  unique (firm_id, room_id, id),
  foreign key (firm_id, room_id, position_id) references position (firm_id, room_id, id),
  foreign key (firm_id, room_id, new_position_id) references position (firm_id, room_id, id),
  foreign key (firm_id, opened_by) references member,
  check (new_position_id is distinct from position_id)
);

create table patch (
  firm_id    uuid not null references firm,
  opening_id uuid not null,
  room_id    uuid not null,
  owed_at    timestamptz not null,
  filled_at  timestamptz,
  dry_at     timestamptz check (dry_at >= filled_at),
  primary key (firm_id, opening_id),
  foreign key (firm_id, room_id, opening_id) references opening (firm_id, room_id, id),
  check (dry_at is null or filled_at is not null)
);

create table snag (
  firm_id   uuid not null references firm,
  id        uuid not null,
  room_id   uuid not null,
  says      text not null check (says ~ '\S' and length(says) <= 400),
  trade     text check (trade in ('electrician', 'plumber', 'dry_liner', 'plasterer', 'tiler', 'joiner', 'decorator')),
  noted_by  uuid,
  noted_at  timestamptz not null,
  closed_by uuid,
  closed_at timestamptz,
  primary key (firm_id, id),
  foreign key (firm_id, room_id) references room,
  foreign key (firm_id, noted_by) references member,
  foreign key (firm_id, closed_by) references member
);
create index snag_room on snag (firm_id, room_id);

-- A sign-off, the soft obstacles it accepted, and what it was based on, word
-- for word. Never changed: a stage that is opened again and signed off again
-- has two.
create table sign_off (
  firm_id    uuid not null references firm,
  id         uuid not null,
  room_id    uuid not null,
  job_id     uuid not null,
  stage      text not null,
  signed_by  uuid not null,
  signed_at  timestamptz not null,
  accepted   json not null,
  room_sheet json not null,
  set_out    json not null,
  sha256     bytea not null check (length(sha256) = 32),
  diary_seq  bigint not null,
  signed_in  bigint not null default pg_current_xact_id()::text::bigint,
  primary key (firm_id, id),
  unique (firm_id, room_id, stage, id),
  foreign key (firm_id, job_id, room_id) references room (firm_id, job_id, id),
  foreign key (firm_id, signed_by) references member,
  foreign key (firm_id, job_id, diary_seq) references diary deferrable initially deferred,
  check (sha256 = sha256(convert_to(accepted::text || E'\n' || room_sheet::text || E'\n' || set_out::text, 'UTF8')))
);

create table gate (
  firm_id     uuid not null references firm,
  room_id     uuid not null,
  stage       text not null,
  place       int not null,
  state       text not null check (state in ('waiting', 'in_hand', 'offered', 'signed_off')),
  offered_by  uuid,
  offered_at  timestamptz,
  sign_off_id uuid,
  primary key (firm_id, room_id, stage),
  unique (firm_id, room_id, place),
  foreign key (firm_id, room_id) references room,
  foreign key (firm_id, offered_by) references member,
  foreign key (firm_id, room_id, stage, sign_off_id) references sign_off (firm_id, room_id, stage, id),
  check ((stage, place) in (('first_fix', 0), ('boarding', 1), ('plaster', 2), ('second_fix', 3), ('decoration', 4))),
  check ((state = 'signed_off') = (sign_off_id is not null)),
  check (state not in ('offered', 'signed_off') = (offered_at is null))
);
