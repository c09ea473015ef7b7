-- The first released schema. Every table is keyed by gym first, so that a chain can be spread by gym.
-- Times are milliseconds since 1970 (UTC), days are ISO dates, quantities stand as they were written ('62.5 kg').
-- `revision` counts the changes of a row; it is what an editor holds against.

CREATE TABLE gyms (
  gym TEXT NOT NULL PRIMARY KEY,
  name TEXT NOT NULL,
  rules TEXT NOT NULL,              -- JSON: how the floor is run
  kit_kinds TEXT NOT NULL,          -- JSON: kinds of kit that only this gym has
  revision INTEGER NOT NULL,
  world INTEGER NOT NULL,           -- counts every change to what classes are planned from
  made_at INTEGER NOT NULL
) STRICT;

CREATE TABLE kits (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  place TEXT NOT NULL,              -- 'floor', or the id of a home
  position INTEGER NOT NULL,
  revision INTEGER NOT NULL,
  body TEXT NOT NULL,               -- JSON: bars, plates, counted kit, what is out of service
  PRIMARY KEY (gym, place)
) STRICT;

CREATE TABLE movements (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  movement TEXT NOT NULL,
  position INTEGER NOT NULL,
  revision INTEGER NOT NULL,
  body TEXT NOT NULL,               -- JSON: a movement that only this gym has, or a built-in one that it changed
  PRIMARY KEY (gym, movement)
) STRICT;

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

CREATE TABLE sessions (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  session TEXT NOT NULL,
  revision INTEGER NOT NULL,        -- the newest of its texts
  title TEXT NOT NULL,
  PRIMARY KEY (gym, session)
) STRICT;

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
CREATE INDEX classes_by_day ON classes (gym, day, class);

-- Who is named on the class's list ('present' or 'absent', as the class says), and who was checked in or out.
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

CREATE TABLE components (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  digest TEXT NOT NULL,
  bytes BLOB NOT NULL,
  about TEXT NOT NULL,              -- JSON: what it says of itself, imports, exports, size, contract, conformance
  installed_by TEXT NOT NULL,
  installed_at INTEGER NOT NULL,
  PRIMARY KEY (gym, digest)
) STRICT;

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

-- Every component that a policy has stood with, in order; the last is the one before the present.
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

-- Everything a plan was made from but the components, by digest: many plans share what seldom changes.
CREATE TABLE inputs (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  digest TEXT NOT NULL,
  body TEXT NOT NULL,
  PRIMARY KEY (gym, digest)
) STRICT;

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
CREATE INDEX plans_of_class ON plans (gym, class, made_at);

CREATE TABLE plan_components (
  gym TEXT NOT NULL,
  plan TEXT NOT NULL,
  digest TEXT NOT NULL,
  PRIMARY KEY (gym, plan, digest),
  FOREIGN KEY (gym, plan) REFERENCES plans ON DELETE CASCADE,
  FOREIGN KEY (gym, digest) REFERENCES components
) STRICT;

CREATE TABLE cards (
  gym TEXT NOT NULL,
  plan TEXT NOT NULL,
  athlete TEXT NOT NULL,
  body TEXT NOT NULL,               -- the athlete's card, as it stands in the document
  PRIMARY KEY (gym, plan, athlete),
  FOREIGN KEY (gym, plan) REFERENCES plans ON DELETE CASCADE
) STRICT;
CREATE INDEX cards_of_athlete ON cards (gym, athlete);

-- What a coach set by hand on a card; it stands beside the plan, which stays as it was made.
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

-- Links that work once: the first owner's, an invitation, a new password. Only the digest is kept. The gym of a link
-- that makes a gym is ''.
CREATE TABLE links (
  gym TEXT NOT NULL,
  digest TEXT NOT NULL,
  purpose TEXT NOT NULL CHECK (purpose IN ('first-gym', 'first-owner', 'password')),
  "user" TEXT,
  expires_at INTEGER NOT NULL,
  used_at INTEGER,
  PRIMARY KEY (gym, digest)
) STRICT;

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

CREATE TABLE events (
  gym TEXT NOT NULL REFERENCES gyms ON DELETE CASCADE,
  n INTEGER NOT NULL,               -- from 1, without gaps
  class TEXT NOT NULL,
  kind TEXT NOT NULL,
  body TEXT NOT NULL,
  at INTEGER NOT NULL,
  PRIMARY KEY (gym, n)
) STRICT;
CREATE INDEX events_of_class ON events (gym, class, n);

-- Answers to calls that make something, so that a call that was sent twice makes it once.
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
