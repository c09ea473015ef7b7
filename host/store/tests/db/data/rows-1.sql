-- A little in every table of schema 1, with digests and ledgers as classwright writes them.
INSERT INTO gyms (gym, name, rules, kit_kinds, revision, world, made_at) VALUES ('hall', 'The hall', '{"watch":20}', '[]', 2, 7, 1790000000000);
INSERT INTO gyms (gym, name, rules, kit_kinds, revision, world, made_at) VALUES ('shed', 'Bram''s shed, Köln', '{"watch":20}', '[]', 2, 7, 1790000000000);
INSERT INTO kits (gym, place, position, revision, body) VALUES ('hall', 'floor', 1, 1, '{"bars":[],"out-of-service":[]}');
INSERT INTO kits (gym, place, position, revision, body) VALUES ('hall', 'ama-home', 2, 3, '{"counted":{"dumbbell 15 kg":2}}');
INSERT INTO movements (gym, movement, position, revision, body) VALUES ('hall', 'sandbag-carry', 1, 1, '{"name":"sandbag carry"}');
INSERT INTO athletes (gym, athlete, position, revision, name, load_column, skill, place, bar, training_share, return_week, age, mass, tags, ledger_name, erased_at) VALUES ('hall', 'ama', 1, 1, 'Ama O''Neil', 0, 3, 'floor', '15 kg', '90%', 3, 41, '62.5 kg', '["new"]', 'a-0001', NULL);
INSERT INTO athletes (gym, athlete, position, revision, name, load_column, skill, place, bar, training_share, return_week, age, mass, tags, ledger_name, erased_at) VALUES ('hall', 'bram', 2, 2, 'Bräm', 1, 3, 'ama-home', NULL, NULL, NULL, NULL, NULL, '["new"]', 'a-0002', NULL);
INSERT INTO bests (gym, athlete, n, movement, load, how, since) VALUES ('hall', 'ama', 1, 'back-squat', '100 kg', 'tested', NULL);
INSERT INTO bests (gym, athlete, n, movement, load, how, since) VALUES ('hall', 'ama', 2, 'back-squat', '102.5 kg', '5 reps by epley', '2026-10-01');
INSERT INTO limitations (gym, athlete, n, region, side, severity, since, until) VALUES ('hall', 'bram', 1, 'knee', 'left', 'mild', '2026-11-01', NULL);
INSERT INTO sessions (gym, session, revision, title) VALUES ('hall', 'monday', 2, 'Even rounds');
INSERT INTO session_texts (gym, session, revision, text, written_by, written_at) VALUES ('hall', 'monday', 1, '# Even rounds

- length: 60 min
', 'u1', 1790000000001);
INSERT INTO session_texts (gym, session, revision, text, written_by, written_at) VALUES ('hall', 'monday', 2, '# Even rounds

- length: 60 min
', 'u1', 1790000000002);
INSERT INTO classes (gym, class, revision, day, starts, zone, session, coach, listed, body, plan) VALUES ('hall', 'monday-18', 4, '2026-11-23', '18:00', 'Europe/Berlin', 'monday', 'Cleo', 'present', '{}', 'monday-18-1');
INSERT INTO class_athletes (gym, class, athlete, position, checked, checked_at) VALUES ('hall', 'monday-18', 'ama', 1, 'in', 1790000000005);
INSERT INTO class_athletes (gym, class, athlete, position, checked, checked_at) VALUES ('hall', 'monday-18', 'bram', NULL, NULL, NULL);
INSERT INTO components (gym, digest, bytes, about, installed_by, installed_at) VALUES ('hall', '87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0', X'0061736d0d000100000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f202122232425262728292a2b2c2d2e2f303132333435363738393a3b3c3d3e3f404142434445464748494a4b4c4d4e4f505152535455565758595a5b5c5d5e5f606162636465666768696a6b6c6d6e6f707172737475767778797a7b7c7d7e7f808182838485868788898a8b8c8d8e8f909192939495969798999a9b9c9d9e9fa0a1a2a3a4a5a6a7a8a9aaabacadaeafb0b1b2b3b4b5b6b7b8b9babbbcbdbebfc0c1c2c3c4c5c6c7c8c9cacbcccdcecfd0d1d2d3d4d5d6d7d8d9dadbdcdddedfe0e1e2e3e4e5e6e7e8e9eaebecedeeeff0f1f2f3f4f5f6f7f8f9fafbfcfdfeff', '{"name":"scaling"}', 'u1', 1790000000000);
INSERT INTO shelf (gym, policy, revision, position, digest, enabled, settings, limits, faults, set_aside) VALUES ('hall', 'scaling', 2, 1, '87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0', 1, '{}', '{"fuel":1000}', 3, '{"kind":"trapped"}');
INSERT INTO shelf_before (gym, policy, n, digest, settings) VALUES ('hall', 'scaling', 1, '87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0', '{"step":5}');
INSERT INTO inputs (gym, digest, body) VALUES ('hall', '6f542f4473e995a4bb56a1e3b1420fe89acb79cf73d689c79ef0c0d719760155', '[[athlete]]
id = "ama"
');
INSERT INTO plans (gym, plan, class, parent, digest, body, inputs, made_by, made_at) VALUES ('hall', 'monday-18-1', 'monday-18', NULL, '190aabf7e4afba8ee7bae14bbb99810ba5f2e818aec5cf954758670315f4fb4e', '{"cards":[],"title":"Even rounds – 5×5"}', '{"files":{"athletes.toml":"6f542f4473e995a4bb56a1e3b1420fe89acb79cf73d689c79ef0c0d719760155"}}', 'u1', 1790000000009);
INSERT INTO plan_components (gym, plan, digest) VALUES ('hall', 'monday-18-1', '87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0');
INSERT INTO cards (gym, plan, athlete, body) VALUES ('hall', 'monday-18-1', 'ama', '{"items":[]}');
INSERT INTO overrides (gym, class, override, athlete, body, made_by, made_at) VALUES ('hall', 'monday-18', 'o1', 'ama', '{"why":"asked"}', 'u1', 1790000000010);
INSERT INTO users (gym, "user", revision, name, login, role, athlete, password, failed, locked_until, disabled, made_at) VALUES ('hall', 'u1', 1, 'Cleo', 'cleo@example.org', 'owner', NULL, '$argon2id$v=19$m=19456,t=2,p=1$c2FsdA$aGFzaA', 0, NULL, 0, 1790000000000);
INSERT INTO users (gym, "user", revision, name, login, role, athlete, password, failed, locked_until, disabled, made_at) VALUES ('hall', 'u2', 1, 'Ama', 'ama@example.org', 'athlete', 'ama', NULL, 2, 1790000060000, 1, 1790000000000);
INSERT INTO links (gym, digest, purpose, "user", expires_at, used_at) VALUES ('', 'a7937b64b8caa58f03721bb6bacf5c78cb235febe0e70b1b84cd99541461a08e', 'first-gym', NULL, 1790000000001, 1790000000000);
INSERT INTO links (gym, digest, purpose, "user", expires_at, used_at) VALUES ('hall', '02a6efa44deef545bc56c1aae1e1d9feb53d505bb269a2abd6efe8d8f4e237f2', 'password', 'u2', 1790086400000, NULL);
INSERT INTO logins (gym, digest, "user", csrf, made_at, expires_at) VALUES ('hall', 'd7e83e28a04b537e64424546b14caf9b67bad2f28dabce68116e0d372319fa00', 'u1', 'form', 1790000000000, 1790000001000);
INSERT INTO tokens (gym, token, digest, "user", name, scopes, made_at, expires_at, revoked_at) VALUES ('hall', 't1', '3c469e9d6c5875d37a43f353d4f88e61fcf812c66eee3457465a40b0da4153e0', 'u1', 'the board', '["read"]', 1790000000000, 1790000001000, NULL);
INSERT INTO ledger (gym, n, at, who, what, about, detail, before, digest) VALUES ('hall', 1, 1790000000001, 'console', 'gym.made', 'gym:hall', '{"n":1,"text":"ä"}', '0000000000000000000000000000000000000000000000000000000000000000', 'cfee7267345184344c8d7e654a2809820c927f0c6ded2d0f211979384bb97063');
INSERT INTO ledger (gym, n, at, who, what, about, detail, before, digest) VALUES ('hall', 2, 1790000000002, 'u1', 'class.planned', 'gym:hall', '{"n":2,"text":"ä"}', 'cfee7267345184344c8d7e654a2809820c927f0c6ded2d0f211979384bb97063', '603d0116a83106691ec44df25cbec46498058dab3463d1b1d011074184457483');
INSERT INTO ledger (gym, n, at, who, what, about, detail, before, digest) VALUES ('hall', 3, 1790000000003, 'u1', 'class.planned', 'gym:hall', '{"n":3,"text":"ä"}', '603d0116a83106691ec44df25cbec46498058dab3463d1b1d011074184457483', 'ec701058a0956266737c1a5647858f49026e59d5f7176e87583451eacca4e4c8');
INSERT INTO ledger (gym, n, at, who, what, about, detail, before, digest) VALUES ('shed', 1, 1790000000001, 'console', 'gym.made', 'gym:shed', '{"n":1,"text":"ä"}', '0000000000000000000000000000000000000000000000000000000000000000', '32e3aa88bbf3f6076f0f3c0685dc5fa52d97f06e2528e4d8de7ab175c5bc3e4d');
INSERT INTO events (gym, n, class, kind, body, at) VALUES ('hall', 1, 'monday-18', 'plan.made', '{"plan":"monday-18-1"}', 1790000000009);
INSERT INTO answers (gym, who, "key", request, status, body, at) VALUES ('hall', 'u1', 'k1', '9aee6b1bcdf617d8e39bb1f2b624c68ea33deb9d48e0364aeaded836d3d00293', 201, '{}', 1790000000000);
