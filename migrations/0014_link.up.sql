-- A client's link ends of itself, unless the foreman renews it. Those that are
-- there work 90 days more.
alter table client_link add column expires_at timestamptz not null default now() + interval '90 days';
alter table client_link alter column expires_at drop default;
