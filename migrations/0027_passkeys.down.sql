-- Loses that everybody needs a passkey: owners and foremen go on to.
alter table firm
  drop constraint firm_need_passkey_known,
  alter column need_passkey drop default,
  alter column need_passkey type boolean using need_passkey <> 'nobody',
  alter column need_passkey set default false;
