-- Loses passkeys.
drop table passkey_challenge, passkey;
