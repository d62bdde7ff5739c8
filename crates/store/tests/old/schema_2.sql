INSERT INTO visit VALUES ('01a213a9-f4c5-7aaa-9632-4b5136210317', '01a213a9-f4c5-76d1-9632-4b5136210317', '2026-11-25', 'irons too short?', 'the fitter', 1795626235100, 0, 1, 12, 0);
INSERT INTO studio_schema (version, program) VALUES (2, '0.1.0');
