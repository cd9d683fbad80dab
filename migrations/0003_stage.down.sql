-- Loses tails seen, layers put on, holes, patches, snags and sign-offs.
drop table gate, sign_off, snag, patch, opening, finished, as_built, photo_note, tail_seen;
