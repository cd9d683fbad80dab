alter table client_link drop column expires_at;
