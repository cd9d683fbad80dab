-- Row-level security: a transaction sees and writes the rows of one firm, the
-- one named in lathmark.firm, and none where it names none. Forced, so that
-- the owner is bound too. The server's role owns nothing and may only do what
-- is granted here.
do $$
declare
  t text;
begin
  foreach t in array array['firm', 'member', 'one_time_link', 'session', 'build_up', 'build_up_layer', 'job',
    'client_link',
    'diary', 'room', 'surface', 'datum', 'layer', 'timber', 'position', 'measurement', 'tail_seen', 'photo_note',
    'as_built', 'finished', 'opening', 'patch', 'snag', 'sign_off', 'gate']
  loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy own_firm on %I
      using (firm_id = nullif(current_setting(''lathmark.firm'', true), '''')::uuid)
      with check (firm_id = nullif(current_setting(''lathmark.firm'', true), '''')::uuid)', t);
    execute format('grant select, insert on %I to lathmark_server', t);
    if t not in ('diary', 'sign_off', 'firm') then
      execute format('grant update on %I to lathmark_server', t);
    end if;
    if t in ('session', 'one_time_link', 'build_up_layer', 'layer', 'datum', 'timber', 'tail_seen', 'as_built') then
      execute format('grant delete on %I to lathmark_server', t);
    end if;
  end loop;
end $$;
grant usage on schema public to lathmark_server;
grant select on schema_migrations to lathmark_server;
