--
-- PostgreSQL database dump
--



SET statement_timeout = 0;
SET lock_timeout = 0;
SET idle_in_transaction_session_timeout = 0;
SET client_encoding = 'UTF8';
SET standard_conforming_strings = on;
SELECT pg_catalog.set_config('search_path', '', false);
SET check_function_bodies = false;
SET xmloption = content;
SET client_min_messages = warning;
SET row_security = off;

SET default_tablespace = '';

SET default_table_access_method = heap;

--
-- Name: _sqlx_migrations; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public._sqlx_migrations (
    version bigint NOT NULL,
    description text NOT NULL,
    installed_on timestamp with time zone DEFAULT now() NOT NULL,
    success boolean NOT NULL,
    checksum bytea NOT NULL,
    execution_time bigint NOT NULL
);


--
-- Name: answers; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.answers (
    gym text NOT NULL COLLATE pg_catalog."C",
    who text NOT NULL COLLATE pg_catalog."C",
    key text NOT NULL COLLATE pg_catalog."C",
    request text NOT NULL COLLATE pg_catalog."C",
    status bigint NOT NULL,
    body text NOT NULL COLLATE pg_catalog."C",
    at bigint NOT NULL
);


--
-- Name: athletes; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.athletes (
    gym text NOT NULL COLLATE pg_catalog."C",
    athlete text NOT NULL COLLATE pg_catalog."C",
    "position" bigint NOT NULL,
    revision bigint NOT NULL,
    name text NOT NULL COLLATE pg_catalog."C",
    load_column bigint NOT NULL,
    skill bigint NOT NULL,
    place text NOT NULL COLLATE pg_catalog."C",
    bar text COLLATE pg_catalog."C",
    training_share text COLLATE pg_catalog."C",
    return_week bigint,
    age bigint,
    mass text COLLATE pg_catalog."C",
    tags text NOT NULL COLLATE pg_catalog."C",
    ledger_name text NOT NULL COLLATE pg_catalog."C",
    erased_at bigint
);


--
-- Name: bests; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.bests (
    gym text NOT NULL COLLATE pg_catalog."C",
    athlete text NOT NULL COLLATE pg_catalog."C",
    n bigint NOT NULL,
    movement text NOT NULL COLLATE pg_catalog."C",
    load text NOT NULL COLLATE pg_catalog."C",
    how text NOT NULL COLLATE pg_catalog."C",
    since text COLLATE pg_catalog."C"
);


--
-- Name: cards; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.cards (
    gym text NOT NULL COLLATE pg_catalog."C",
    plan text NOT NULL COLLATE pg_catalog."C",
    athlete text NOT NULL COLLATE pg_catalog."C",
    body text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: class_athletes; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.class_athletes (
    gym text NOT NULL COLLATE pg_catalog."C",
    class text NOT NULL COLLATE pg_catalog."C",
    athlete text NOT NULL COLLATE pg_catalog."C",
    "position" bigint,
    checked text COLLATE pg_catalog."C",
    checked_at bigint,
    CONSTRAINT class_athletes_checked_check CHECK ((checked = ANY (ARRAY['in'::text, 'out'::text])))
);


--
-- Name: classes; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.classes (
    gym text NOT NULL COLLATE pg_catalog."C",
    class text NOT NULL COLLATE pg_catalog."C",
    revision bigint NOT NULL,
    day text NOT NULL COLLATE pg_catalog."C",
    starts text NOT NULL COLLATE pg_catalog."C",
    zone text NOT NULL COLLATE pg_catalog."C",
    session text NOT NULL COLLATE pg_catalog."C",
    coach text NOT NULL COLLATE pg_catalog."C",
    listed text NOT NULL COLLATE pg_catalog."C",
    body text NOT NULL COLLATE pg_catalog."C",
    plan text COLLATE pg_catalog."C",
    CONSTRAINT classes_listed_check CHECK ((listed = ANY (ARRAY['all'::text, 'present'::text, 'absent'::text])))
);


--
-- Name: components; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.components (
    gym text NOT NULL COLLATE pg_catalog."C",
    digest text NOT NULL COLLATE pg_catalog."C",
    bytes bytea NOT NULL,
    about text NOT NULL COLLATE pg_catalog."C",
    installed_by text NOT NULL COLLATE pg_catalog."C",
    installed_at bigint NOT NULL
);


--
-- Name: events; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.events (
    gym text NOT NULL COLLATE pg_catalog."C",
    n bigint NOT NULL,
    class text NOT NULL COLLATE pg_catalog."C",
    kind text NOT NULL COLLATE pg_catalog."C",
    body text NOT NULL COLLATE pg_catalog."C",
    at bigint NOT NULL
);


--
-- Name: gyms; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.gyms (
    gym text NOT NULL COLLATE pg_catalog."C",
    name text NOT NULL COLLATE pg_catalog."C",
    rules text NOT NULL COLLATE pg_catalog."C",
    kit_kinds text NOT NULL COLLATE pg_catalog."C",
    revision bigint NOT NULL,
    world bigint NOT NULL,
    made_at bigint NOT NULL
);


--
-- Name: inputs; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.inputs (
    gym text NOT NULL COLLATE pg_catalog."C",
    digest text NOT NULL COLLATE pg_catalog."C",
    body text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: kits; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.kits (
    gym text NOT NULL COLLATE pg_catalog."C",
    place text NOT NULL COLLATE pg_catalog."C",
    "position" bigint NOT NULL,
    revision bigint NOT NULL,
    body text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: ledger; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.ledger (
    gym text NOT NULL COLLATE pg_catalog."C",
    n bigint NOT NULL,
    at bigint NOT NULL,
    who text NOT NULL COLLATE pg_catalog."C",
    what text NOT NULL COLLATE pg_catalog."C",
    about text NOT NULL COLLATE pg_catalog."C",
    detail text NOT NULL COLLATE pg_catalog."C",
    before text NOT NULL COLLATE pg_catalog."C",
    digest text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: limitations; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.limitations (
    gym text NOT NULL COLLATE pg_catalog."C",
    athlete text NOT NULL COLLATE pg_catalog."C",
    n bigint NOT NULL,
    region text NOT NULL COLLATE pg_catalog."C",
    side text NOT NULL COLLATE pg_catalog."C",
    severity text NOT NULL COLLATE pg_catalog."C",
    since text COLLATE pg_catalog."C",
    until text COLLATE pg_catalog."C"
);


--
-- Name: links; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.links (
    gym text NOT NULL COLLATE pg_catalog."C",
    digest text NOT NULL COLLATE pg_catalog."C",
    purpose text NOT NULL COLLATE pg_catalog."C",
    "user" text COLLATE pg_catalog."C",
    expires_at bigint NOT NULL,
    used_at bigint,
    CONSTRAINT links_purpose_check CHECK ((purpose = ANY (ARRAY['first-gym'::text, 'first-owner'::text, 'password'::text])))
);


--
-- Name: logins; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.logins (
    gym text NOT NULL COLLATE pg_catalog."C",
    digest text NOT NULL COLLATE pg_catalog."C",
    "user" text NOT NULL COLLATE pg_catalog."C",
    csrf text NOT NULL COLLATE pg_catalog."C",
    made_at bigint NOT NULL,
    expires_at bigint NOT NULL
);


--
-- Name: movements; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.movements (
    gym text NOT NULL COLLATE pg_catalog."C",
    movement text NOT NULL COLLATE pg_catalog."C",
    "position" bigint NOT NULL,
    revision bigint NOT NULL,
    body text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: overrides; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.overrides (
    gym text NOT NULL COLLATE pg_catalog."C",
    class text NOT NULL COLLATE pg_catalog."C",
    override text NOT NULL COLLATE pg_catalog."C",
    athlete text NOT NULL COLLATE pg_catalog."C",
    body text NOT NULL COLLATE pg_catalog."C",
    made_by text NOT NULL COLLATE pg_catalog."C",
    made_at bigint NOT NULL
);


--
-- Name: plan_components; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.plan_components (
    gym text NOT NULL COLLATE pg_catalog."C",
    plan text NOT NULL COLLATE pg_catalog."C",
    digest text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: plans; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.plans (
    gym text NOT NULL COLLATE pg_catalog."C",
    plan text NOT NULL COLLATE pg_catalog."C",
    class text NOT NULL COLLATE pg_catalog."C",
    parent text COLLATE pg_catalog."C",
    digest text NOT NULL COLLATE pg_catalog."C",
    body text NOT NULL COLLATE pg_catalog."C",
    inputs text NOT NULL COLLATE pg_catalog."C",
    made_by text NOT NULL COLLATE pg_catalog."C",
    made_at bigint NOT NULL
);


--
-- Name: session_texts; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.session_texts (
    gym text NOT NULL COLLATE pg_catalog."C",
    session text NOT NULL COLLATE pg_catalog."C",
    revision bigint NOT NULL,
    text text NOT NULL COLLATE pg_catalog."C",
    written_by text NOT NULL COLLATE pg_catalog."C",
    written_at bigint NOT NULL
);


--
-- Name: sessions; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.sessions (
    gym text NOT NULL COLLATE pg_catalog."C",
    session text NOT NULL COLLATE pg_catalog."C",
    revision bigint NOT NULL,
    title text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: shelf; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.shelf (
    gym text NOT NULL COLLATE pg_catalog."C",
    policy text NOT NULL COLLATE pg_catalog."C",
    revision bigint NOT NULL,
    "position" bigint NOT NULL,
    digest text NOT NULL COLLATE pg_catalog."C",
    enabled bigint NOT NULL,
    settings text NOT NULL COLLATE pg_catalog."C",
    limits text NOT NULL COLLATE pg_catalog."C",
    faults bigint NOT NULL,
    set_aside text COLLATE pg_catalog."C"
);


--
-- Name: shelf_before; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.shelf_before (
    gym text NOT NULL COLLATE pg_catalog."C",
    policy text NOT NULL COLLATE pg_catalog."C",
    n bigint NOT NULL,
    digest text NOT NULL COLLATE pg_catalog."C",
    settings text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: tokens; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.tokens (
    gym text NOT NULL COLLATE pg_catalog."C",
    token text NOT NULL COLLATE pg_catalog."C",
    digest text NOT NULL COLLATE pg_catalog."C",
    "user" text NOT NULL COLLATE pg_catalog."C",
    name text NOT NULL COLLATE pg_catalog."C",
    scopes text NOT NULL COLLATE pg_catalog."C",
    made_at bigint NOT NULL,
    expires_at bigint NOT NULL,
    revoked_at bigint
);


--
-- Name: users; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.users (
    gym text NOT NULL COLLATE pg_catalog."C",
    "user" text NOT NULL COLLATE pg_catalog."C",
    revision bigint NOT NULL,
    name text NOT NULL COLLATE pg_catalog."C",
    login text NOT NULL COLLATE pg_catalog."C",
    role text NOT NULL COLLATE pg_catalog."C",
    athlete text COLLATE pg_catalog."C",
    password text COLLATE pg_catalog."C",
    failed bigint NOT NULL,
    locked_until bigint,
    disabled bigint NOT NULL,
    made_at bigint NOT NULL,
    CONSTRAINT users_role_check CHECK ((role = ANY (ARRAY['owner'::text, 'coach'::text, 'athlete'::text])))
);


--
-- Data for Name: _sqlx_migrations; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public._sqlx_migrations VALUES (1, 'first', '2026-11-25 17:00:00+00', true, '\x5c89749b82375f2fc7b782f19945f2fd15157b94a233810507d9db8ad08d024032dea5d68f636ffb517939066b0639a9', 1000);


--
-- Data for Name: answers; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.answers VALUES ('hall', 'u1', 'k1', '9aee6b1bcdf617d8e39bb1f2b624c68ea33deb9d48e0364aeaded836d3d00293', 201, '{}', 1790000000000);


--
-- Data for Name: athletes; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.athletes VALUES ('hall', 'ama', 1, 1, 'Ama O''Neil', 0, 3, 'floor', '15 kg', '90%', 3, 41, '62.5 kg', '["new"]', 'a-0001', NULL);
INSERT INTO public.athletes VALUES ('hall', 'bram', 2, 2, 'Bräm', 1, 3, 'ama-home', NULL, NULL, NULL, NULL, NULL, '["new"]', 'a-0002', NULL);


--
-- Data for Name: bests; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.bests VALUES ('hall', 'ama', 1, 'back-squat', '100 kg', 'tested', NULL);
INSERT INTO public.bests VALUES ('hall', 'ama', 2, 'back-squat', '102.5 kg', '5 reps by epley', '2026-10-01');


--
-- Data for Name: cards; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.cards VALUES ('hall', 'monday-18-1', 'ama', '{"items":[]}');


--
-- Data for Name: class_athletes; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.class_athletes VALUES ('hall', 'monday-18', 'ama', 1, 'in', 1790000000005);
INSERT INTO public.class_athletes VALUES ('hall', 'monday-18', 'bram', NULL, NULL, NULL);


--
-- Data for Name: classes; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.classes VALUES ('hall', 'monday-18', 4, '2026-11-23', '18:00', 'Europe/Berlin', 'monday', 'Cleo', 'present', '{}', 'monday-18-1');


--
-- Data for Name: components; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.components VALUES ('hall', '87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0', '\x0061736d0d000100000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f202122232425262728292a2b2c2d2e2f303132333435363738393a3b3c3d3e3f404142434445464748494a4b4c4d4e4f505152535455565758595a5b5c5d5e5f606162636465666768696a6b6c6d6e6f707172737475767778797a7b7c7d7e7f808182838485868788898a8b8c8d8e8f909192939495969798999a9b9c9d9e9fa0a1a2a3a4a5a6a7a8a9aaabacadaeafb0b1b2b3b4b5b6b7b8b9babbbcbdbebfc0c1c2c3c4c5c6c7c8c9cacbcccdcecfd0d1d2d3d4d5d6d7d8d9dadbdcdddedfe0e1e2e3e4e5e6e7e8e9eaebecedeeeff0f1f2f3f4f5f6f7f8f9fafbfcfdfeff', '{"name":"scaling"}', 'u1', 1790000000000);


--
-- Data for Name: events; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.events VALUES ('hall', 1, 'monday-18', 'plan.made', '{"plan":"monday-18-1"}', 1790000000009);


--
-- Data for Name: gyms; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.gyms VALUES ('hall', 'The hall', '{"watch":20}', '[]', 2, 7, 1790000000000);
INSERT INTO public.gyms VALUES ('shed', 'Bram''s shed, Köln', '{"watch":20}', '[]', 2, 7, 1790000000000);


--
-- Data for Name: inputs; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.inputs VALUES ('hall', '6f542f4473e995a4bb56a1e3b1420fe89acb79cf73d689c79ef0c0d719760155', '[[athlete]]
id = "ama"
');


--
-- Data for Name: kits; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.kits VALUES ('hall', 'floor', 1, 1, '{"bars":[],"out-of-service":[]}');
INSERT INTO public.kits VALUES ('hall', 'ama-home', 2, 3, '{"counted":{"dumbbell 15 kg":2}}');


--
-- Data for Name: ledger; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.ledger VALUES ('hall', 1, 1790000000001, 'console', 'gym.made', 'gym:hall', '{"n":1,"text":"ä"}', '0000000000000000000000000000000000000000000000000000000000000000', 'cfee7267345184344c8d7e654a2809820c927f0c6ded2d0f211979384bb97063');
INSERT INTO public.ledger VALUES ('hall', 2, 1790000000002, 'u1', 'class.planned', 'gym:hall', '{"n":2,"text":"ä"}', 'cfee7267345184344c8d7e654a2809820c927f0c6ded2d0f211979384bb97063', '603d0116a83106691ec44df25cbec46498058dab3463d1b1d011074184457483');
INSERT INTO public.ledger VALUES ('hall', 3, 1790000000003, 'u1', 'class.planned', 'gym:hall', '{"n":3,"text":"ä"}', '603d0116a83106691ec44df25cbec46498058dab3463d1b1d011074184457483', 'ec701058a0956266737c1a5647858f49026e59d5f7176e87583451eacca4e4c8');
INSERT INTO public.ledger VALUES ('shed', 1, 1790000000001, 'console', 'gym.made', 'gym:shed', '{"n":1,"text":"ä"}', '0000000000000000000000000000000000000000000000000000000000000000', '32e3aa88bbf3f6076f0f3c0685dc5fa52d97f06e2528e4d8de7ab175c5bc3e4d');


--
-- Data for Name: limitations; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.limitations VALUES ('hall', 'bram', 1, 'knee', 'left', 'mild', '2026-11-01', NULL);


--
-- Data for Name: links; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.links VALUES ('', 'a7937b64b8caa58f03721bb6bacf5c78cb235febe0e70b1b84cd99541461a08e', 'first-gym', NULL, 1790000000001, 1790000000000);
INSERT INTO public.links VALUES ('hall', '02a6efa44deef545bc56c1aae1e1d9feb53d505bb269a2abd6efe8d8f4e237f2', 'password', 'u2', 1790086400000, NULL);


--
-- Data for Name: logins; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.logins VALUES ('hall', 'd7e83e28a04b537e64424546b14caf9b67bad2f28dabce68116e0d372319fa00', 'u1', 'form', 1790000000000, 1790000001000);


--
-- Data for Name: movements; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.movements VALUES ('hall', 'sandbag-carry', 1, 1, '{"name":"sandbag carry"}');


--
-- Data for Name: overrides; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.overrides VALUES ('hall', 'monday-18', 'o1', 'ama', '{"why":"asked"}', 'u1', 1790000000010);


--
-- Data for Name: plan_components; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.plan_components VALUES ('hall', 'monday-18-1', '87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0');


--
-- Data for Name: plans; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.plans VALUES ('hall', 'monday-18-1', 'monday-18', NULL, '190aabf7e4afba8ee7bae14bbb99810ba5f2e818aec5cf954758670315f4fb4e', '{"cards":[],"title":"Even rounds – 5×5"}', '{"files":{"athletes.toml":"6f542f4473e995a4bb56a1e3b1420fe89acb79cf73d689c79ef0c0d719760155"}}', 'u1', 1790000000009);


--
-- Data for Name: session_texts; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.session_texts VALUES ('hall', 'monday', 1, '# Even rounds

- length: 60 min
', 'u1', 1790000000001);
INSERT INTO public.session_texts VALUES ('hall', 'monday', 2, '# Even rounds

- length: 60 min
', 'u1', 1790000000002);


--
-- Data for Name: sessions; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.sessions VALUES ('hall', 'monday', 2, 'Even rounds');


--
-- Data for Name: shelf; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.shelf VALUES ('hall', 'scaling', 2, 1, '87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0', 1, '{}', '{"fuel":1000}', 3, '{"kind":"trapped"}');


--
-- Data for Name: shelf_before; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.shelf_before VALUES ('hall', 'scaling', 1, '87b6b9980b497e57859afa97d6101af0edab32b25bba57668514e1d82f96a7e0', '{"step":5}');


--
-- Data for Name: tokens; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.tokens VALUES ('hall', 't1', '3c469e9d6c5875d37a43f353d4f88e61fcf812c66eee3457465a40b0da4153e0', 'u1', 'the board', '["read"]', 1790000000000, 1790000001000, NULL);


--
-- Data for Name: users; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.users VALUES ('hall', 'u1', 1, 'Cleo', 'cleo@example.org', 'owner', NULL, '$argon2id$v=19$m=19456,t=2,p=1$c2FsdA$aGFzaA', 0, NULL, 0, 1790000000000);
INSERT INTO public.users VALUES ('hall', 'u2', 1, 'Ama', 'ama@example.org', 'athlete', 'ama', NULL, 2, 1790000060000, 1, 1790000000000);


--
-- Name: _sqlx_migrations _sqlx_migrations_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public._sqlx_migrations
    ADD CONSTRAINT _sqlx_migrations_pkey PRIMARY KEY (version);


--
-- Name: answers answers_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.answers
    ADD CONSTRAINT answers_pkey PRIMARY KEY (gym, who, key);


--
-- Name: athletes athletes_gym_ledger_name_key; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.athletes
    ADD CONSTRAINT athletes_gym_ledger_name_key UNIQUE (gym, ledger_name);


--
-- Name: athletes athletes_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.athletes
    ADD CONSTRAINT athletes_pkey PRIMARY KEY (gym, athlete);


--
-- Name: bests bests_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.bests
    ADD CONSTRAINT bests_pkey PRIMARY KEY (gym, athlete, n);


--
-- Name: cards cards_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.cards
    ADD CONSTRAINT cards_pkey PRIMARY KEY (gym, plan, athlete);


--
-- Name: class_athletes class_athletes_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.class_athletes
    ADD CONSTRAINT class_athletes_pkey PRIMARY KEY (gym, class, athlete);


--
-- Name: classes classes_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.classes
    ADD CONSTRAINT classes_pkey PRIMARY KEY (gym, class);


--
-- Name: components components_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.components
    ADD CONSTRAINT components_pkey PRIMARY KEY (gym, digest);


--
-- Name: events events_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.events
    ADD CONSTRAINT events_pkey PRIMARY KEY (gym, n);


--
-- Name: gyms gyms_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.gyms
    ADD CONSTRAINT gyms_pkey PRIMARY KEY (gym);


--
-- Name: inputs inputs_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.inputs
    ADD CONSTRAINT inputs_pkey PRIMARY KEY (gym, digest);


--
-- Name: kits kits_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.kits
    ADD CONSTRAINT kits_pkey PRIMARY KEY (gym, place);


--
-- Name: ledger ledger_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.ledger
    ADD CONSTRAINT ledger_pkey PRIMARY KEY (gym, n);


--
-- Name: limitations limitations_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.limitations
    ADD CONSTRAINT limitations_pkey PRIMARY KEY (gym, athlete, n);


--
-- Name: links links_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.links
    ADD CONSTRAINT links_pkey PRIMARY KEY (gym, digest);


--
-- Name: logins logins_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.logins
    ADD CONSTRAINT logins_pkey PRIMARY KEY (gym, digest);


--
-- Name: movements movements_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.movements
    ADD CONSTRAINT movements_pkey PRIMARY KEY (gym, movement);


--
-- Name: overrides overrides_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.overrides
    ADD CONSTRAINT overrides_pkey PRIMARY KEY (gym, class, override);


--
-- Name: plan_components plan_components_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plan_components
    ADD CONSTRAINT plan_components_pkey PRIMARY KEY (gym, plan, digest);


--
-- Name: plans plans_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plans
    ADD CONSTRAINT plans_pkey PRIMARY KEY (gym, plan);


--
-- Name: session_texts session_texts_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.session_texts
    ADD CONSTRAINT session_texts_pkey PRIMARY KEY (gym, session, revision);


--
-- Name: sessions sessions_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.sessions
    ADD CONSTRAINT sessions_pkey PRIMARY KEY (gym, session);


--
-- Name: shelf_before shelf_before_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.shelf_before
    ADD CONSTRAINT shelf_before_pkey PRIMARY KEY (gym, policy, n);


--
-- Name: shelf shelf_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.shelf
    ADD CONSTRAINT shelf_pkey PRIMARY KEY (gym, policy);


--
-- Name: tokens tokens_gym_digest_key; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.tokens
    ADD CONSTRAINT tokens_gym_digest_key UNIQUE (gym, digest);


--
-- Name: tokens tokens_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.tokens
    ADD CONSTRAINT tokens_pkey PRIMARY KEY (gym, token);


--
-- Name: users users_gym_login_key; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.users
    ADD CONSTRAINT users_gym_login_key UNIQUE (gym, login);


--
-- Name: users users_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.users
    ADD CONSTRAINT users_pkey PRIMARY KEY (gym, "user");


--
-- Name: cards_of_athlete; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX cards_of_athlete ON public.cards USING btree (gym, athlete);


--
-- Name: classes_by_day; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX classes_by_day ON public.classes USING btree (gym, day, class);


--
-- Name: events_of_class; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX events_of_class ON public.events USING btree (gym, class, n);


--
-- Name: plans_of_class; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX plans_of_class ON public.plans USING btree (gym, class, made_at);


--
-- Name: athletes athletes_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.athletes
    ADD CONSTRAINT athletes_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- Name: bests bests_gym_athlete_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.bests
    ADD CONSTRAINT bests_gym_athlete_fkey FOREIGN KEY (gym, athlete) REFERENCES public.athletes(gym, athlete) ON DELETE CASCADE;


--
-- Name: cards cards_gym_plan_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.cards
    ADD CONSTRAINT cards_gym_plan_fkey FOREIGN KEY (gym, plan) REFERENCES public.plans(gym, plan) ON DELETE CASCADE;


--
-- Name: class_athletes class_athletes_gym_athlete_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.class_athletes
    ADD CONSTRAINT class_athletes_gym_athlete_fkey FOREIGN KEY (gym, athlete) REFERENCES public.athletes(gym, athlete);


--
-- Name: class_athletes class_athletes_gym_class_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.class_athletes
    ADD CONSTRAINT class_athletes_gym_class_fkey FOREIGN KEY (gym, class) REFERENCES public.classes(gym, class) ON DELETE CASCADE;


--
-- Name: classes classes_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.classes
    ADD CONSTRAINT classes_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- Name: classes classes_gym_session_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.classes
    ADD CONSTRAINT classes_gym_session_fkey FOREIGN KEY (gym, session) REFERENCES public.sessions(gym, session);


--
-- Name: components components_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.components
    ADD CONSTRAINT components_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- Name: events events_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.events
    ADD CONSTRAINT events_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- Name: inputs inputs_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.inputs
    ADD CONSTRAINT inputs_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- Name: kits kits_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.kits
    ADD CONSTRAINT kits_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- Name: ledger ledger_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.ledger
    ADD CONSTRAINT ledger_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- Name: limitations limitations_gym_athlete_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.limitations
    ADD CONSTRAINT limitations_gym_athlete_fkey FOREIGN KEY (gym, athlete) REFERENCES public.athletes(gym, athlete) ON DELETE CASCADE;


--
-- Name: logins logins_gym_user_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.logins
    ADD CONSTRAINT logins_gym_user_fkey FOREIGN KEY (gym, "user") REFERENCES public.users(gym, "user") ON DELETE CASCADE;


--
-- Name: movements movements_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.movements
    ADD CONSTRAINT movements_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- Name: overrides overrides_gym_athlete_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.overrides
    ADD CONSTRAINT overrides_gym_athlete_fkey FOREIGN KEY (gym, athlete) REFERENCES public.athletes(gym, athlete);


--
-- Name: overrides overrides_gym_class_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.overrides
    ADD CONSTRAINT overrides_gym_class_fkey FOREIGN KEY (gym, class) REFERENCES public.classes(gym, class) ON DELETE CASCADE;


--
-- Name: plan_components plan_components_gym_digest_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plan_components
    ADD CONSTRAINT plan_components_gym_digest_fkey FOREIGN KEY (gym, digest) REFERENCES public.components(gym, digest);


--
-- Name: plan_components plan_components_gym_plan_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plan_components
    ADD CONSTRAINT plan_components_gym_plan_fkey FOREIGN KEY (gym, plan) REFERENCES public.plans(gym, plan) ON DELETE CASCADE;


--
-- Name: plans plans_gym_class_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plans
    ADD CONSTRAINT plans_gym_class_fkey FOREIGN KEY (gym, class) REFERENCES public.classes(gym, class);


--
-- Name: session_texts session_texts_gym_session_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.session_texts
    ADD CONSTRAINT session_texts_gym_session_fkey FOREIGN KEY (gym, session) REFERENCES public.sessions(gym, session) ON DELETE CASCADE;


--
-- Name: sessions sessions_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.sessions
    ADD CONSTRAINT sessions_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- Name: shelf_before shelf_before_gym_digest_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.shelf_before
    ADD CONSTRAINT shelf_before_gym_digest_fkey FOREIGN KEY (gym, digest) REFERENCES public.components(gym, digest);


--
-- Name: shelf_before shelf_before_gym_policy_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.shelf_before
    ADD CONSTRAINT shelf_before_gym_policy_fkey FOREIGN KEY (gym, policy) REFERENCES public.shelf(gym, policy) ON DELETE CASCADE;


--
-- Name: shelf shelf_gym_digest_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.shelf
    ADD CONSTRAINT shelf_gym_digest_fkey FOREIGN KEY (gym, digest) REFERENCES public.components(gym, digest);


--
-- Name: shelf shelf_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.shelf
    ADD CONSTRAINT shelf_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- Name: tokens tokens_gym_user_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.tokens
    ADD CONSTRAINT tokens_gym_user_fkey FOREIGN KEY (gym, "user") REFERENCES public.users(gym, "user") ON DELETE CASCADE;


--
-- Name: users users_gym_athlete_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.users
    ADD CONSTRAINT users_gym_athlete_fkey FOREIGN KEY (gym, athlete) REFERENCES public.athletes(gym, athlete);


--
-- Name: users users_gym_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.users
    ADD CONSTRAINT users_gym_fkey FOREIGN KEY (gym) REFERENCES public.gyms(gym) ON DELETE CASCADE;


--
-- PostgreSQL database dump complete
--


