PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE _sqlx_migrations (
    version BIGINT PRIMARY KEY,
    description TEXT NOT NULL,
    installed_on TIMESTAMP NOT NULL DEFAULT CURRENT_TIMESTAMP,
    success BOOLEAN NOT NULL,
    checksum BLOB NOT NULL,
    execution_time BIGINT NOT NULL
);
INSERT INTO _sqlx_migrations VALUES(1,'first','2026-11-25 17:00:00',1,X'5580f823a1d14a91b0ae3c827299b1ae4edc434a2913f00eee0395355fb7949e62f473712bcdb8fea379c782d6df28e4',1000);
CREATE TABLE gyms (
  gym TEXT NOT NULL PRIMARY KEY,
  name TEXT NOT NULL,
  rules TEXT NOT NULL,              -- JSON: how the floor is run
  kit_kinds TEXT NOT NULL,          -- JSON: kinds of kit that only this gym has
  revision INTEGER NOT NULL,
  world INTEGER NOT NULL,           -- counts every change to what classes are planned from
  made_at INTEGER NOT NULL
) STRICT;
INSERT INTO gyms VALUES('hall','The hall','{"watch":20}','[]',2,7,1790000000000);
INSERT INTO gyms VALUES('shed','Bram''s shed, Köln','{"watch":20}','[]',2,7,1790000000000);
CREATE TABLE kits (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  place TEXT NOT NULL,              -- 'floor', or the id of a home
  position INTEGER NOT NULL,
  revision INTEGER NOT NULL,
  body TEXT NOT NULL,               -- JSON: bars, plates, counted kit, what is out of service
  PRIMARY KEY (gym, place)
) STRICT;
INSERT INTO kits VALUES('hall','floor',1,1,'{"bars":[],"out-of-service":[]}');
INSERT INTO kits VALUES('hall','ama-home',2,3,'{"counted":{"dumbbell 15 kg":2}}');
CREATE TABLE movements (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  movement TEXT NOT NULL,
  position INTEGER NOT NULL,
  revision INTEGER NOT NULL,
  body TEXT NOT NULL,               -- JSON: a movement that only this gym has, or a built-in one that it changed
  PRIMARY KEY (gym, movement)
) STRICT;
INSERT INTO movements VALUES('hall','sandbag-carry',1,1,'{"name":"sandbag carry"}');
CREATE TABLE athletes (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  athlete TEXT NOT NULL,
  position INTEGER NOT NULL,
  revision INTEGER NOT NULL,
  name TEXT NOT NULL,
  load_column INTEGER NOT NULL,
  skill INTEGER NOT NULL,
  place TEXT NOT NULL,
  bar TEXT,
  training_share TEXT,
  return_week INTEGER,
  age INTEGER,
  mass TEXT,
  tags TEXT NOT NULL,               -- JSON: a list of words
  ledger_name TEXT NOT NULL,        -- what the ledger calls them: random, so that it names nobody
  erased_at INTEGER,
  PRIMARY KEY (gym, athlete),
  UNIQUE (gym, ledger_name)
) STRICT;
INSERT INTO athletes VALUES('hall','ama',1,1,'Ama O''Neil',0,3,'floor','15 kg','90%',3,41,'62.5 kg','["new"]','a-0001',NULL);
INSERT INTO athletes VALUES('hall','bram',2,2,'Bräm',1,3,'ama-home',NULL,NULL,NULL,NULL,NULL,'["new"]','a-0002',NULL);
CREATE TABLE bests (
  gym TEXT NOT NULL,
  athlete TEXT NOT NULL,
  n INTEGER NOT NULL,
  movement TEXT NOT NULL,
  load TEXT NOT NULL,
  how TEXT NOT NULL,                -- 'tested', or such as '5 reps by epley'
  since TEXT,                       -- day from which it counts
  PRIMARY KEY (gym, athlete, n),
  FOREIGN KEY (gym, athlete) REFERENCES athletes ON DELETE CASCADE
) STRICT;
INSERT INTO bests VALUES('hall','ama',1,'back-squat','100 kg','tested',NULL);
INSERT INTO bests VALUES('hall','ama',2,'back-squat','102.5 kg','5 reps by epley','2026-10-01');
CREATE TABLE limitations (
  gym TEXT NOT NULL,
  athlete TEXT NOT NULL,
  n INTEGER NOT NULL,
  region TEXT NOT NULL,
  side TEXT NOT NULL,
  severity TEXT NOT NULL,
  since TEXT,
  until TEXT,                       -- last day on which it holds
  PRIMARY KEY (gym, athlete, n),
  FOREIGN KEY (gym, athlete) REFERENCES athletes ON DELETE CASCADE
) STRICT;
INSERT INTO limitations VALUES('hall','bram',1,'knee','left','mild','2026-11-01',NULL);
CREATE TABLE sessions (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  session TEXT NOT NULL,
  revision INTEGER NOT NULL,        -- the newest of its texts
  title TEXT NOT NULL,
  PRIMARY KEY (gym, session)
) STRICT;
INSERT INTO sessions VALUES('hall','monday',2,'Even rounds');
CREATE TABLE session_texts (
  gym TEXT NOT NULL,
  session TEXT NOT NULL,
  revision INTEGER NOT NULL,
  text TEXT NOT NULL,
  written_by TEXT NOT NULL,
  written_at INTEGER NOT NULL,
  PRIMARY KEY (gym, session, revision),
  FOREIGN KEY (gym, session) REFERENCES sessions ON DELETE CASCADE
) STRICT;
INSERT INTO session_texts VALUES('hall','monday',1,replace('# Even rounds\n\n- length: 60 min\n','\n',char(10)),'u1',1790000000001);
INSERT INTO session_texts VALUES('hall','monday',2,replace('# Even rounds\n\n- length: 60 min\n','\n',char(10)),'u1',1790000000002);
CREATE TABLE classes (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  class TEXT NOT NULL,
  revision INTEGER NOT NULL,
  day TEXT NOT NULL,
  starts TEXT NOT NULL,             -- '18:00'
  zone TEXT NOT NULL,
  session TEXT NOT NULL,
  coach TEXT NOT NULL,
  listed TEXT NOT NULL CHECK (listed IN ('all', 'present', 'absent')),
  body TEXT NOT NULL,               -- JSON: out of service, together, apart, its own floor rules
  plan TEXT,                        -- the plan that stands
  PRIMARY KEY (gym, class),
  FOREIGN KEY (gym, session) REFERENCES sessions
) STRICT;
INSERT INTO classes VALUES('hall','monday-18',4,'2026-11-23','18:00','Europe/Berlin','monday','Cleo','present','{}','monday-18-1');
CREATE TABLE class_athletes (
  gym TEXT NOT NULL,
  class TEXT NOT NULL,
  athlete TEXT NOT NULL,
  position INTEGER,                 -- on the list, where named
  checked TEXT CHECK (checked IN ('in', 'out')),
  checked_at INTEGER,
  PRIMARY KEY (gym, class, athlete),
  FOREIGN KEY (gym, class) REFERENCES classes ON DELETE CASCADE,
  FOREIGN KEY (gym, athlete) REFERENCES athletes
) STRICT;
INSERT INTO class_athletes VALUES('hall','monday-18','ama',1,'in',1790000000005);
INSERT INTO class_athletes VALUES('hall','monday-18','bram',NULL,NULL,NULL);
CREATE TABLE components (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  digest TEXT NOT NULL,
  bytes BLOB NOT NULL,
  about TEXT NOT NULL,              -- JSON: what it says of itself, imports, exports, size, contract, conformance
  installed_by TEXT NOT NULL,
  installed_at INTEGER NOT NULL,
  PRIMARY KEY (gym, digest)
) STRICT;
INSERT INTO components VALUES('hall','87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0',X'0061736d0d000100000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f202122232425262728292a2b2c2d2e2f303132333435363738393a3b3c3d3e3f404142434445464748494a4b4c4d4e4f505152535455565758595a5b5c5d5e5f606162636465666768696a6b6c6d6e6f707172737475767778797a7b7c7d7e7f808182838485868788898a8b8c8d8e8f909192939495969798999a9b9c9d9e9fa0a1a2a3a4a5a6a7a8a9aaabacadaeafb0b1b2b3b4b5b6b7b8b9babbbcbdbebfc0c1c2c3c4c5c6c7c8c9cacbcccdcecfd0d1d2d3d4d5d6d7d8d9dadbdcdddedfe0e1e2e3e4e5e6e7e8e9eaebecedeeeff0f1f2f3f4f5f6f7f8f9fafbfcfdfeff','{"name":"scaling"}','u1',1790000000000);
CREATE TABLE shelf (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  policy TEXT NOT NULL,
  revision INTEGER NOT NULL,
  position INTEGER NOT NULL,
  digest TEXT NOT NULL,
  enabled INTEGER NOT NULL,
  settings TEXT NOT NULL,           -- JSON: an object
  limits TEXT NOT NULL,             -- JSON: fuel, wall-ms, memory-mib, answer-mib
  faults INTEGER NOT NULL,          -- in a row
  set_aside TEXT,                   -- JSON: the last fault, where it was taken out of the order
  PRIMARY KEY (gym, policy),
  FOREIGN KEY (gym, digest) REFERENCES components
) STRICT;
INSERT INTO shelf VALUES('hall','scaling',2,1,'87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0',1,'{}','{"fuel":1000}',3,'{"kind":"trapped"}');
CREATE TABLE shelf_before (
  gym TEXT NOT NULL,
  policy TEXT NOT NULL,
  n INTEGER NOT NULL,
  digest TEXT NOT NULL,
  settings TEXT NOT NULL,
  PRIMARY KEY (gym, policy, n),
  FOREIGN KEY (gym, policy) REFERENCES shelf ON DELETE CASCADE,
  FOREIGN KEY (gym, digest) REFERENCES components
) STRICT;
INSERT INTO shelf_before VALUES('hall','scaling',1,'87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0','{"step":5}');
CREATE TABLE inputs (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  digest TEXT NOT NULL,
  body TEXT NOT NULL,
  PRIMARY KEY (gym, digest)
) STRICT;
INSERT INTO inputs VALUES('hall','6f542f4473e995a4bb56a1e3b1420fe89acb79cf73d689c79ef0c0d719760155',replace('[[athlete]]\nid = "ama"\n','\n',char(10)));
CREATE TABLE plans (
  gym TEXT NOT NULL,
  plan TEXT NOT NULL,
  class TEXT NOT NULL,
  parent TEXT,                      -- the plan that was planned anew
  digest TEXT NOT NULL,             -- of the document
  body TEXT NOT NULL,               -- the document, byte for byte
  inputs TEXT NOT NULL,             -- JSON: the question, with digests into `inputs` and `components`
  made_by TEXT NOT NULL,
  made_at INTEGER NOT NULL,
  PRIMARY KEY (gym, plan),
  FOREIGN KEY (gym, class) REFERENCES classes
) STRICT;
INSERT INTO plans VALUES('hall','monday-18-1','monday-18',NULL,'190aabf7e4afba8ee7bae14bbb99810ba5f2e818aec5cf954758670315f4fb4e','{"cards":[],"title":"Even rounds – 5×5"}','{"files":{"athletes.toml":"6f542f4473e995a4bb56a1e3b1420fe89acb79cf73d689c79ef0c0d719760155"}}','u1',1790000000009);
CREATE TABLE plan_components (
  gym TEXT NOT NULL,
  plan TEXT NOT NULL,
  digest TEXT NOT NULL,
  PRIMARY KEY (gym, plan, digest),
  FOREIGN KEY (gym, plan) REFERENCES plans ON DELETE CASCADE,
  FOREIGN KEY (gym, digest) REFERENCES components
) STRICT;
INSERT INTO plan_components VALUES('hall','monday-18-1','87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0');
CREATE TABLE cards (
  gym TEXT NOT NULL,
  plan TEXT NOT NULL,
  athlete TEXT NOT NULL,
  body TEXT NOT NULL,               -- the athlete's card, as it stands in the document
  PRIMARY KEY (gym, plan, athlete),
  FOREIGN KEY (gym, plan) REFERENCES plans ON DELETE CASCADE
) STRICT;
INSERT INTO cards VALUES('hall','monday-18-1','ama','{"items":[]}');
CREATE TABLE overrides (
  gym TEXT NOT NULL,
  class TEXT NOT NULL,
  override TEXT NOT NULL,
  athlete TEXT NOT NULL,
  body TEXT NOT NULL,               -- JSON: which item, what instead, why
  made_by TEXT NOT NULL,
  made_at INTEGER NOT NULL,
  PRIMARY KEY (gym, class, override),
  FOREIGN KEY (gym, class) REFERENCES classes ON DELETE CASCADE,
  FOREIGN KEY (gym, athlete) REFERENCES athletes
) STRICT;
INSERT INTO overrides VALUES('hall','monday-18','o1','ama','{"why":"asked"}','u1',1790000000010);
CREATE TABLE users (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  "user" TEXT NOT NULL,
  revision INTEGER NOT NULL,
  name TEXT NOT NULL,
  login TEXT NOT NULL,
  role TEXT NOT NULL CHECK (role IN ('owner', 'coach', 'athlete')),
  athlete TEXT,                     -- who they are on the roster
  password TEXT,                    -- a PHC string (argon2id); none until they have chosen one
  failed INTEGER NOT NULL,          -- wrong passwords in a row
  locked_until INTEGER,
  disabled INTEGER NOT NULL,
  made_at INTEGER NOT NULL,
  PRIMARY KEY (gym, "user"),
  UNIQUE (gym, login),
  FOREIGN KEY (gym, athlete) REFERENCES athletes
) STRICT;
INSERT INTO users VALUES('hall','u1',1,'Cleo','cleo@example.org','owner',NULL,'$argon2id$v=19$m=19456,t=2,p=1$c2FsdA$aGFzaA',0,NULL,0,1790000000000);
INSERT INTO users VALUES('hall','u2',1,'Ama','ama@example.org','athlete','ama',NULL,2,1790000060000,1,1790000000000);
CREATE TABLE links (
  gym TEXT NOT NULL,
  digest TEXT NOT NULL,
  purpose TEXT NOT NULL CHECK (purpose IN ('first-gym', 'first-owner', 'password')),
  "user" TEXT,
  expires_at INTEGER NOT NULL,
  used_at INTEGER,
  PRIMARY KEY (gym, digest)
) STRICT;
INSERT INTO links VALUES('','a7937b64b8caa58f03721bb6bacf5c78cb235febe0e70b1b84cd99541461a08e','first-gym',NULL,1790000000001,1790000000000);
INSERT INTO links VALUES('hall','02a6efa44deef545bc56c1aae1e1d9feb53d505bb269a2abd6efe8d8f4e237f2','password','u2',1790086400000,NULL);
CREATE TABLE logins (
  gym TEXT NOT NULL,
  digest TEXT NOT NULL,             -- of the cookie
  "user" TEXT NOT NULL,
  csrf TEXT NOT NULL,
  made_at INTEGER NOT NULL,
  expires_at INTEGER NOT NULL,
  PRIMARY KEY (gym, digest),
  FOREIGN KEY (gym, "user") REFERENCES users ON DELETE CASCADE
) STRICT;
INSERT INTO logins VALUES('hall','d7e83e28a04b537e64424546b14caf9b67bad2f28dabce68116e0d372319fa00','u1','form',1790000000000,1790000001000);
CREATE TABLE tokens (
  gym TEXT NOT NULL,
  token TEXT NOT NULL,
  digest TEXT NOT NULL,
  "user" TEXT NOT NULL,
  name TEXT NOT NULL,
  scopes TEXT NOT NULL,             -- JSON: a list
  made_at INTEGER NOT NULL,
  expires_at INTEGER NOT NULL,
  revoked_at INTEGER,
  PRIMARY KEY (gym, token),
  UNIQUE (gym, digest),
  FOREIGN KEY (gym, "user") REFERENCES users ON DELETE CASCADE
) STRICT;
INSERT INTO tokens VALUES('hall','t1','3c469e9d6c5875d37a43f353d4f88e61fcf812c66eee3457465a40b0da4153e0','u1','the board','["read"]',1790000000000,1790000001000,NULL);
CREATE TABLE ledger (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  n INTEGER NOT NULL,               -- from 1, without gaps
  at INTEGER NOT NULL,
  who TEXT NOT NULL,
  what TEXT NOT NULL,
  about TEXT NOT NULL,
  detail TEXT NOT NULL,             -- JSON; never a limitation
  before TEXT NOT NULL,             -- digest of the entry before; 64 zeros for the first
  digest TEXT NOT NULL,
  PRIMARY KEY (gym, n)
) STRICT;
INSERT INTO ledger VALUES('hall',1,1790000000001,'console','gym.made','gym:hall','{"n":1,"text":"ä"}','0000000000000000000000000000000000000000000000000000000000000000','cfee7267345184344c8d7e654a2809820c927f0c6ded2d0f211979384bb97063');
INSERT INTO ledger VALUES('hall',2,1790000000002,'u1','class.planned','gym:hall','{"n":2,"text":"ä"}','cfee7267345184344c8d7e654a2809820c927f0c6ded2d0f211979384bb97063','603d0116a83106691ec44df25cbec46498058dab3463d1b1d011074184457483');
INSERT INTO ledger VALUES('hall',3,1790000000003,'u1','class.planned','gym:hall','{"n":3,"text":"ä"}','603d0116a83106691ec44df25cbec46498058dab3463d1b1d011074184457483','ec701058a0956266737c1a5647858f49026e59d5f7176e87583451eacca4e4c8');
INSERT INTO ledger VALUES('shed',1,1790000000001,'console','gym.made','gym:shed','{"n":1,"text":"ä"}','0000000000000000000000000000000000000000000000000000000000000000','32e3aa88bbf3f6076f0f3c0685dc5fa52d97f06e2528e4d8de7ab175c5bc3e4d');
CREATE TABLE events (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  n INTEGER NOT NULL,               -- from 1, without gaps
  class TEXT NOT NULL,
  kind TEXT NOT NULL,
  body TEXT NOT NULL,
  at INTEGER NOT NULL,
  PRIMARY KEY (gym, n)
) STRICT;
INSERT INTO events VALUES('hall',1,'monday-18','plan.made','{"plan":"monday-18-1"}',1790000000009);
CREATE TABLE answers (
  gym TEXT NOT NULL,
  who TEXT NOT NULL,
  "key" TEXT NOT NULL,
  request TEXT NOT NULL,            -- digest of what was asked
  status INTEGER NOT NULL,
  body TEXT NOT NULL,
  at INTEGER NOT NULL,
  PRIMARY KEY (gym, who, "key")
) STRICT;
INSERT INTO answers VALUES('hall','u1','k1','9aee6b1bcdf617d8e39bb1f2b624c68ea33deb9d48e0364aeaded836d3d00293',201,'{}',1790000000000);
CREATE INDEX classes_by_day ON classes (gym, day, class);
CREATE INDEX plans_of_class ON plans (gym, class, made_at);
CREATE INDEX cards_of_athlete ON cards (gym, athlete);
CREATE INDEX events_of_class ON events (gym, class, n);
COMMIT;
