-- The first released schema. Every table is keyed by gym first, so that a chain can be spread by gym.
-- Times are milliseconds since 1970 (UTC), days are ISO dates, quantities stand as they were written ('62.5 kg').
-- `revision` counts the changes of a row; it is what an editor holds against.

CREATE TABLE gyms (
  gym TEXT COLLATE "C" NOT NULL PRIMARY KEY,
  name TEXT COLLATE "C" NOT NULL,
  rules TEXT COLLATE "C" NOT NULL,              -- JSON: how the floor is run
  kit_kinds TEXT COLLATE "C" NOT NULL,          -- JSON: kinds of kit that only this gym has
  revision BIGINT NOT NULL,
  world BIGINT NOT NULL,           -- counts every change to what classes are planned from
  made_at BIGINT NOT NULL
);

CREATE TABLE kits (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  place TEXT COLLATE "C" NOT NULL,              -- 'floor', or the id of a home
  position BIGINT NOT NULL,
  revision BIGINT NOT NULL,
  body TEXT COLLATE "C" NOT NULL,               -- JSON: bars, plates, counted kit, what is out of service
  PRIMARY KEY (gym, place)
);

CREATE TABLE movements (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  movement TEXT COLLATE "C" NOT NULL,
  position BIGINT NOT NULL,
  revision BIGINT NOT NULL,
  body TEXT COLLATE "C" NOT NULL,               -- JSON: a movement that only this gym has, or a built-in one that it changed
  PRIMARY KEY (gym, movement)
);

CREATE TABLE athletes (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  athlete TEXT COLLATE "C" NOT NULL,
  position BIGINT NOT NULL,
  revision BIGINT NOT NULL,
  name TEXT COLLATE "C" NOT NULL,
  load_column BIGINT NOT NULL,
  skill BIGINT NOT NULL,
  place TEXT COLLATE "C" NOT NULL,
  bar TEXT COLLATE "C",
  training_share TEXT COLLATE "C",
  return_week BIGINT,
  age BIGINT,
  mass TEXT COLLATE "C",
  tags TEXT COLLATE "C" NOT NULL,               -- JSON: a list of words
  ledger_name TEXT COLLATE "C" NOT NULL,        -- what the ledger calls them: random, so that it names nobody
  erased_at BIGINT,
  PRIMARY KEY (gym, athlete),
  UNIQUE (gym, ledger_name)
);

CREATE TABLE bests (
  gym TEXT COLLATE "C" NOT NULL,
  athlete TEXT COLLATE "C" NOT NULL,
  n BIGINT NOT NULL,
  movement TEXT COLLATE "C" NOT NULL,
  load TEXT COLLATE "C" NOT NULL,
  how TEXT COLLATE "C" NOT NULL,                -- 'tested', or such as '5 reps by epley'
  since TEXT COLLATE "C",                       -- day from which it counts
  PRIMARY KEY (gym, athlete, n),
  FOREIGN KEY (gym, athlete) REFERENCES athletes ON DELETE CASCADE
);

CREATE TABLE limitations (
  gym TEXT COLLATE "C" NOT NULL,
  athlete TEXT COLLATE "C" NOT NULL,
  n BIGINT NOT NULL,
  region TEXT COLLATE "C" NOT NULL,
  side TEXT COLLATE "C" NOT NULL,
  severity TEXT COLLATE "C" NOT NULL,
  since TEXT COLLATE "C",
  until TEXT COLLATE "C",                       -- last day on which it holds
  PRIMARY KEY (gym, athlete, n),
  FOREIGN KEY (gym, athlete) REFERENCES athletes ON DELETE CASCADE
);

CREATE TABLE sessions (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  session TEXT COLLATE "C" NOT NULL,
  revision BIGINT NOT NULL,        -- the newest of its texts
  title TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (gym, session)
);

CREATE TABLE session_texts (
  gym TEXT COLLATE "C" NOT NULL,
  session TEXT COLLATE "C" NOT NULL,
  revision BIGINT NOT NULL,
  text TEXT COLLATE "C" NOT NULL,
  written_by TEXT COLLATE "C" NOT NULL,
  written_at BIGINT NOT NULL,
  PRIMARY KEY (gym, session, revision),
  FOREIGN KEY (gym, session) REFERENCES sessions ON DELETE CASCADE
);

CREATE TABLE classes (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  class TEXT COLLATE "C" NOT NULL,
  revision BIGINT NOT NULL,
  day TEXT COLLATE "C" NOT NULL,
  starts TEXT COLLATE "C" NOT NULL,             -- '18:00'
  zone TEXT COLLATE "C" NOT NULL,
  session TEXT COLLATE "C" NOT NULL,
  coach TEXT COLLATE "C" NOT NULL,
  listed TEXT COLLATE "C" NOT NULL CHECK (listed IN ('all', 'present', 'absent')),
  body TEXT COLLATE "C" NOT NULL,               -- JSON: out of service, together, apart, its own floor rules
  plan TEXT COLLATE "C",                        -- the plan that stands
  PRIMARY KEY (gym, class),
  FOREIGN KEY (gym, session) REFERENCES sessions
);
CREATE INDEX classes_by_day ON classes (gym, day, class);

-- Who is named on the class's list ('present' or 'absent', as the class says), and who was checked in or out.
CREATE TABLE class_athletes (
  gym TEXT COLLATE "C" NOT NULL,
  class TEXT COLLATE "C" NOT NULL,
  athlete TEXT COLLATE "C" NOT NULL,
  position BIGINT,                 -- on the list, where named
  checked TEXT COLLATE "C" CHECK (checked IN ('in', 'out')),
  checked_at BIGINT,
  PRIMARY KEY (gym, class, athlete),
  FOREIGN KEY (gym, class) REFERENCES classes ON DELETE CASCADE,
  FOREIGN KEY (gym, athlete) REFERENCES athletes
);

CREATE TABLE components (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  digest TEXT COLLATE "C" NOT NULL,
  bytes BYTEA NOT NULL,
  about TEXT COLLATE "C" NOT NULL,              -- JSON: what it says of itself, imports, exports, size, contract, conformance
  installed_by TEXT COLLATE "C" NOT NULL,
  installed_at BIGINT NOT NULL,
  PRIMARY KEY (gym, digest)
);

CREATE TABLE shelf (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  policy TEXT COLLATE "C" NOT NULL,
  revision BIGINT NOT NULL,
  position BIGINT NOT NULL,
  digest TEXT COLLATE "C" NOT NULL,
  enabled BIGINT NOT NULL,
  settings TEXT COLLATE "C" NOT NULL,           -- JSON: an object
  limits TEXT COLLATE "C" NOT NULL,             -- JSON: fuel, wall-ms, memory-mib, answer-mib
  faults BIGINT NOT NULL,          -- in a row
  set_aside TEXT COLLATE "C",                   -- JSON: the last fault, where it was taken out of the order
  PRIMARY KEY (gym, policy),
  FOREIGN KEY (gym, digest) REFERENCES components
);

-- Every component that a policy has stood with, in order; the last is the one before the present.
CREATE TABLE shelf_before (
  gym TEXT COLLATE "C" NOT NULL,
  policy TEXT COLLATE "C" NOT NULL,
  n BIGINT NOT NULL,
  digest TEXT COLLATE "C" NOT NULL,
  settings TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (gym, policy, n),
  FOREIGN KEY (gym, policy) REFERENCES shelf ON DELETE CASCADE,
  FOREIGN KEY (gym, digest) REFERENCES components
);

-- Everything a plan was made from but the components, by digest: many plans share what seldom changes.
CREATE TABLE inputs (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  digest TEXT COLLATE "C" NOT NULL,
  body TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (gym, digest)
);

CREATE TABLE plans (
  gym TEXT COLLATE "C" NOT NULL,
  plan TEXT COLLATE "C" NOT NULL,
  class TEXT COLLATE "C" NOT NULL,
  parent TEXT COLLATE "C",                      -- the plan that was planned anew
  digest TEXT COLLATE "C" NOT NULL,             -- of the document
  body TEXT COLLATE "C" NOT NULL,               -- the document, byte for byte
  inputs TEXT COLLATE "C" NOT NULL,             -- JSON: the question, with digests into `inputs` and `components`
  made_by TEXT COLLATE "C" NOT NULL,
  made_at BIGINT NOT NULL,
  PRIMARY KEY (gym, plan),
  FOREIGN KEY (gym, class) REFERENCES classes
);
CREATE INDEX plans_of_class ON plans (gym, class, made_at);

CREATE TABLE plan_components (
  gym TEXT COLLATE "C" NOT NULL,
  plan TEXT COLLATE "C" NOT NULL,
  digest TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (gym, plan, digest),
  FOREIGN KEY (gym, plan) REFERENCES plans ON DELETE CASCADE,
  FOREIGN KEY (gym, digest) REFERENCES components
);

CREATE TABLE cards (
  gym TEXT COLLATE "C" NOT NULL,
  plan TEXT COLLATE "C" NOT NULL,
  athlete TEXT COLLATE "C" NOT NULL,
  body TEXT COLLATE "C" NOT NULL,               -- the athlete's card, as it stands in the document
  PRIMARY KEY (gym, plan, athlete),
  FOREIGN KEY (gym, plan) REFERENCES plans ON DELETE CASCADE
);
CREATE INDEX cards_of_athlete ON cards (gym, athlete);

-- What a coach set by hand on a card; it stands beside the plan, which stays as it was made.
CREATE TABLE overrides (
  gym TEXT COLLATE "C" NOT NULL,
  class TEXT COLLATE "C" NOT NULL,
  override TEXT COLLATE "C" NOT NULL,
  athlete TEXT COLLATE "C" NOT NULL,
  body TEXT COLLATE "C" NOT NULL,               -- JSON: which item, what instead, why
  made_by TEXT COLLATE "C" NOT NULL,
  made_at BIGINT NOT NULL,
  PRIMARY KEY (gym, class, override),
  FOREIGN KEY (gym, class) REFERENCES classes ON DELETE CASCADE,
  FOREIGN KEY (gym, athlete) REFERENCES athletes
);

CREATE TABLE users (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  "user" TEXT COLLATE "C" NOT NULL,
  revision BIGINT NOT NULL,
  name TEXT COLLATE "C" NOT NULL,
  login TEXT COLLATE "C" NOT NULL,
  role TEXT COLLATE "C" NOT NULL CHECK (role IN ('owner', 'coach', 'athlete')),
  athlete TEXT COLLATE "C",                     -- who they are on the roster
  password TEXT COLLATE "C",                    -- a PHC string (argon2id); none until they have chosen one
  failed BIGINT NOT NULL,          -- wrong passwords in a row
  locked_until BIGINT,
  disabled BIGINT NOT NULL,
  made_at BIGINT NOT NULL,
  PRIMARY KEY (gym, "user"),
  UNIQUE (gym, login),
  FOREIGN KEY (gym, athlete) REFERENCES athletes
);

-- Links that work once: the first owner's, an invitation, a new password. Only the digest is kept. The gym of a link
-- that makes a gym is ''.
CREATE TABLE links (
  gym TEXT COLLATE "C" NOT NULL,
  digest TEXT COLLATE "C" NOT NULL,
  purpose TEXT COLLATE "C" NOT NULL CHECK (purpose IN ('first-gym', 'first-owner', 'password')),
  "user" TEXT COLLATE "C",
  expires_at BIGINT NOT NULL,
  used_at BIGINT,
  PRIMARY KEY (gym, digest)
);

CREATE TABLE logins (
  gym TEXT COLLATE "C" NOT NULL,
  digest TEXT COLLATE "C" NOT NULL,             -- of the cookie
  "user" TEXT COLLATE "C" NOT NULL,
  csrf TEXT COLLATE "C" NOT NULL,
  made_at BIGINT NOT NULL,
  expires_at BIGINT NOT NULL,
  PRIMARY KEY (gym, digest),
  FOREIGN KEY (gym, "user") REFERENCES users ON DELETE CASCADE
);

CREATE TABLE tokens (
  gym TEXT COLLATE "C" NOT NULL,
  token TEXT COLLATE "C" NOT NULL,
  digest TEXT COLLATE "C" NOT NULL,
  "user" TEXT COLLATE "C" NOT NULL,
  name TEXT COLLATE "C" NOT NULL,
  scopes TEXT COLLATE "C" NOT NULL,             -- JSON: a list
  made_at BIGINT NOT NULL,
  expires_at BIGINT NOT NULL,
  revoked_at BIGINT,
  PRIMARY KEY (gym, token),
  UNIQUE (gym, digest),
  FOREIGN KEY (gym, "user") REFERENCES users ON DELETE CASCADE
);

CREATE TABLE ledger (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  n BIGINT NOT NULL,               -- from 1, without gaps
  at BIGINT NOT NULL,
  who TEXT COLLATE "C" NOT NULL,
  what TEXT COLLATE "C" NOT NULL,
  about TEXT COLLATE "C" NOT NULL,
  detail TEXT COLLATE "C" NOT NULL,             -- JSON; never a limitation
  before TEXT COLLATE "C" NOT NULL,             -- digest of the entry before; 64 zeros for the first
  digest TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (gym, n)
);

CREATE TABLE events (
  gym TEXT COLLATE "C" NOT NULL REFERENCES gyms ON DELETE CASCADE,
  n BIGINT NOT NULL,               -- from 1, without gaps
  class TEXT COLLATE "C" NOT NULL,
  kind TEXT COLLATE "C" NOT NULL,
  body TEXT COLLATE "C" NOT NULL,
  at BIGINT NOT NULL,
  PRIMARY KEY (gym, n)
);
CREATE INDEX events_of_class ON events (gym, class, n);

-- Answers to calls that make something, so that a call that was sent twice makes it once.
CREATE TABLE answers (
  gym TEXT COLLATE "C" NOT NULL,
  who TEXT COLLATE "C" NOT NULL,
  "key" TEXT COLLATE "C" NOT NULL,
  request TEXT COLLATE "C" NOT NULL,            -- digest of what was asked
  status BIGINT NOT NULL,
  body TEXT COLLATE "C" NOT NULL,
  at BIGINT NOT NULL,
  PRIMARY KEY (gym, who, "key")
);
