CREATE FUNCTION public.revisions_refuse() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
begin raise exception 'revisions: what is recorded is neither changed nor deleted'; end $$;

CREATE FUNCTION public.shelf_acts_refuse() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
begin raise exception 'shelf_acts: what is recorded is neither changed nor deleted'; end $$;

CREATE TABLE public.alembic_version (
    version_num character varying(32) NOT NULL
);

CREATE TABLE public.revisions (
    number integer NOT NULL,
    document integer NOT NULL,
    kind character varying(20) NOT NULL,
    name text NOT NULL,
    why text NOT NULL,
    parent integer,
    saved_at character varying(27) NOT NULL,
    text text NOT NULL,
    key character varying(64) NOT NULL
);

CREATE TABLE public.shelf_acts (
    number integer NOT NULL,
    document integer NOT NULL,
    act character varying(10) NOT NULL,
    at character varying(27) NOT NULL,
    CONSTRAINT ck_shelf_acts_act CHECK (((act)::text = ANY ((ARRAY['discard'::character varying, 'restore'::character varying])::text[])))
);

INSERT INTO public.alembic_version VALUES ('0001');

INSERT INTO public.revisions VALUES (1, 1, 'rig', 'Brick barn', '', NULL, '2026-03-01T12:01:00.000000Z', 'schema: rig/1
name: Brick barn
', '54f57ecf986a020de7b26f92c1a97842872abfc22899b7e6e218864b180de247');
INSERT INTO public.revisions VALUES (2, 2, 'recipe', 'Täuber''s <b>Pale</b>', 'first', NULL, '2026-03-01T12:02:00.000000Z', 'schema: recipe/1
name: "Täuber''s <b>Pale</b>"
', '44df534d08e23c8464329cbd4eda1073d86c0c2c8ff60710306ac9057415657b');
INSERT INTO public.revisions VALUES (3, 2, 'recipe', 'Second pale', 'other name; it''s better', 2, '2026-03-01T12:03:00.000000Z', 'schema: recipe/1
name: Second pale
', 'a6b73b82334d8ab67cf26d8fdf9484946ba1d55d6f205d765f9b7d4150f93395');
INSERT INTO public.revisions VALUES (4, 4, 'day', 'day without a name', '', NULL, '2026-03-01T12:04:00.000000Z', 'schema: day/1
air: 16 C
', 'bb27b811533a2993fc3523e06fc27cc33fe634e537163739bdb8903e6b0393d5');

INSERT INTO public.shelf_acts VALUES (1, 4, 'discard', '2026-03-01T12:05:00.000000Z');

ALTER TABLE ONLY public.alembic_version
    ADD CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num);

ALTER TABLE ONLY public.revisions
    ADD CONSTRAINT pk_revisions PRIMARY KEY (number);

ALTER TABLE ONLY public.shelf_acts
    ADD CONSTRAINT pk_shelf_acts PRIMARY KEY (number);

ALTER TABLE ONLY public.revisions
    ADD CONSTRAINT uq_revisions_key UNIQUE (key);

ALTER TABLE ONLY public.revisions
    ADD CONSTRAINT uq_revisions_parent UNIQUE (parent);

CREATE INDEX ix_revisions_document_number ON public.revisions USING btree (document, number);

CREATE INDEX ix_shelf_acts_document_number ON public.shelf_acts USING btree (document, number);

CREATE TRIGGER revisions_refuse BEFORE DELETE OR UPDATE OR TRUNCATE ON public.revisions FOR EACH STATEMENT EXECUTE FUNCTION public.revisions_refuse();

CREATE TRIGGER shelf_acts_refuse BEFORE DELETE OR UPDATE OR TRUNCATE ON public.shelf_acts FOR EACH STATEMENT EXECUTE FUNCTION public.shelf_acts_refuse();

ALTER TABLE ONLY public.revisions
    ADD CONSTRAINT fk_revisions_document FOREIGN KEY (document) REFERENCES public.revisions(number);

ALTER TABLE ONLY public.revisions
    ADD CONSTRAINT fk_revisions_parent FOREIGN KEY (parent) REFERENCES public.revisions(number);

ALTER TABLE ONLY public.shelf_acts
    ADD CONSTRAINT fk_shelf_acts_document FOREIGN KEY (document) REFERENCES public.revisions(number);
