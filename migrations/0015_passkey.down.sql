drop table passkey_challenge, passkey;
