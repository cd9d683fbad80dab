-- Loses that everybody needs a passkey: owners and foremen go on to. Loses who has signed in before.
alter table member drop column has_signed_in;
alter table firm
  drop constraint firm_need_passkey_known,
  alter column need_passkey drop default,
  alter column need_passkey type boolean using need_passkey <> 'nobody',
  alter column need_passkey set default false;
