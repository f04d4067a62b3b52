BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE revisions (
	number INTEGER NOT NULL, 
	document INTEGER NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	name TEXT NOT NULL, 
	why TEXT NOT NULL, 
	parent INTEGER, 
	saved_at VARCHAR(27) NOT NULL, 
	text TEXT NOT NULL, 
	"key" VARCHAR(64) NOT NULL, 
	CONSTRAINT pk_revisions PRIMARY KEY (number), 
	CONSTRAINT fk_revisions_document FOREIGN KEY(document) REFERENCES revisions (number), 
	CONSTRAINT fk_revisions_parent FOREIGN KEY(parent) REFERENCES revisions (number), 
	CONSTRAINT uq_revisions_parent UNIQUE (parent), 
	CONSTRAINT uq_revisions_key UNIQUE ("key")
);
INSERT INTO "revisions" VALUES(1,1,'rig','Brick barn','',NULL,'2026-03-01T12:01:00.000000Z','schema: rig/1
name: Brick barn
','54f57ecf986a020de7b26f92c1a97842872abfc22899b7e6e218864b180de247');
INSERT INTO "revisions" VALUES(2,2,'recipe','Täuber''s <b>Pale</b>','first',NULL,'2026-03-01T12:02:00.000000Z','schema: recipe/1
name: "Täuber''s <b>Pale</b>"
','44df534d08e23c8464329cbd4eda1073d86c0c2c8ff60710306ac9057415657b');
INSERT INTO "revisions" VALUES(3,2,'recipe','Second pale','other name; it''s better',2,'2026-03-01T12:03:00.000000Z','schema: recipe/1
name: Second pale
','a6b73b82334d8ab67cf26d8fdf9484946ba1d55d6f205d765f9b7d4150f93395');
INSERT INTO "revisions" VALUES(4,4,'day','day without a name','',NULL,'2026-03-01T12:04:00.000000Z','schema: day/1
air: 16 C
','bb27b811533a2993fc3523e06fc27cc33fe634e537163739bdb8903e6b0393d5');
CREATE TABLE shelf_acts (
	number INTEGER NOT NULL, 
	document INTEGER NOT NULL, 
	act VARCHAR(10) NOT NULL, 
	at VARCHAR(27) NOT NULL, 
	CONSTRAINT pk_shelf_acts PRIMARY KEY (number), 
	CONSTRAINT fk_shelf_acts_document FOREIGN KEY(document) REFERENCES revisions (number), 
	CONSTRAINT ck_shelf_acts_act CHECK (act in ('discard', 'restore'))
);
INSERT INTO "shelf_acts" VALUES(1,4,'discard','2026-03-01T12:05:00.000000Z');
CREATE INDEX ix_revisions_document_number ON revisions (document, number);
CREATE INDEX ix_shelf_acts_document_number ON shelf_acts (document, number);
CREATE TRIGGER revisions_refuse_update before update on revisions
begin select raise(abort, 'revisions: what is recorded is neither changed nor deleted'); end;
CREATE TRIGGER revisions_refuse_delete before delete on revisions
begin select raise(abort, 'revisions: what is recorded is neither changed nor deleted'); end;
CREATE TRIGGER shelf_acts_refuse_update before update on shelf_acts
begin select raise(abort, 'shelf_acts: what is recorded is neither changed nor deleted'); end;
CREATE TRIGGER shelf_acts_refuse_delete before delete on shelf_acts
begin select raise(abort, 'shelf_acts: what is recorded is neither changed nor deleted'); end;
COMMIT;
