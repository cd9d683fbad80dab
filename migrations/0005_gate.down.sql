-- Loses no record, but that the database keeps the gates.
drop trigger known_state on measurement;
drop trigger in_order on gate;
drop trigger stamp on sign_off;
drop trigger guard on gate;
drop trigger gates on room;
drop function known_state, gates_in_order, stamp_sign_off, guard_gate, hard_rule, fixed, unrecorded, used_face,
  gates_of_room;
