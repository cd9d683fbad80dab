-- Acts of later kinds that are there stay.
alter table act add constraint act_kind_check check (kind in ('measure', 'correct', 'strike', 'see-tails', 'put-on',
  'finish', 'open-hole', 'owe-patch', 'patch-filled', 'patch-dry', 'snag', 'snag-done', 'offer')) not valid;
