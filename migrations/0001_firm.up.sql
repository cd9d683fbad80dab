-- A firm, its people, the ways in, and its standard build-ups. The firm's id
-- leads the key of every table, so that the tables can be spread out by firm.
create table firm (
  firm_id    uuid primary key,
  name       text not null check (name ~ '\S' and length(name) <= 120),
  created_at timestamptz not null
);

create table member (
  firm_id    uuid not null references firm,
  id         uuid not null,
  name       text not null check (name ~ '\S' and length(name) <= 120),
  role       text not null check (role in ('owner', 'foreman', 'trade', 'client')),
  trade      text check (trade in ('electrician', 'plumber', 'dry_liner', 'plasterer', 'tiler', 'joiner', 'decorator')),
  created_at timestamptz not null,
  left_at    timestamptz,
  primary key (firm_id, id),
  check ((role = 'trade') = (trade is not null))
);

-- A way in that works once. Only the token's SHA-256 is kept.
create table one_time_link (
  firm_id    uuid not null references firm,
  hash       bytea not null check (length(hash) = 32),
  member_id  uuid not null,
  created_at timestamptz not null,
  expires_at timestamptz not null,
  used_at    timestamptz,
  primary key (firm_id, hash),
  foreign key (firm_id, member_id) references member
);

create table session (
  firm_id    uuid not null references firm,
  hash       bytea not null check (length(hash) = 32),
  member_id  uuid not null,
  created_at timestamptz not null,
  expires_at timestamptz not null,
  primary key (firm_id, hash),
  foreign key (firm_id, member_id) references member
);

-- A standard build-up of the firm: layers in the order they go on. Planning
-- one on a face copies its layers; changing it later changes no room.
create table build_up (
  firm_id    uuid not null references firm,
  id         uuid not null,
  name       text not null check (name ~ '\S' and length(name) <= 120),
  created_at timestamptz not null,
  primary key (firm_id, id),
  unique (firm_id, name)
);

create table build_up_layer (
  firm_id      uuid not null,
  build_up_id  uuid not null,
  place        int not null check (place between 1 and 20),
  name         text not null check (name ~ '\S' and name <> 'bare' and length(name) <= 60),
  thickness_mm double precision not null check (thickness_mm > 0 and thickness_mm <= 1000),
  sigma_mm     double precision check (sigma_mm > 0 and sigma_mm <= 1000),
  stage        text not null check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  primary key (firm_id, build_up_id, place),
  unique (firm_id, build_up_id, name),
  foreign key (firm_id, build_up_id) references build_up on delete cascade
);
