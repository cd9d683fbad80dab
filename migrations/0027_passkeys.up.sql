-- A firm wants a passkey of nobody, of owners and foremen, or of everybody who signs in.
alter table firm
  alter column need_passkey drop default,
  alter column need_passkey type text using case when need_passkey then 'runners' else 'nobody' end,
  alter column need_passkey set default 'nobody',
  add constraint firm_need_passkey_known check (need_passkey in ('nobody', 'runners', 'everybody'));

-- Who has signed in before gets links that work for minutes. Of those who are here already
-- nobody knows any more, so they count as such.
alter table member add column has_signed_in boolean not null default true;
alter table member alter column has_signed_in set default false;
