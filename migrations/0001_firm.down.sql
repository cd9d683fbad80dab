-- Loses firms, their people and their ways in.
drop table build_up_layer, build_up, session, one_time_link, member, firm;
