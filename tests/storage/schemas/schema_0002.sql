PRAGMA application_id=1685024357;
BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0002');
CREATE TABLE cook (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	title VARCHAR NOT NULL, 
	started_us INTEGER NOT NULL, 
	started_zone VARCHAR NOT NULL, 
	unit VARCHAR NOT NULL, 
	mass_unit VARCHAR NOT NULL, 
	cut VARCHAR NOT NULL, 
	mass_kg DOUBLE NOT NULL, 
	pit_c DOUBLE NOT NULL, 
	pit_low_c DOUBLE, 
	pit_high_c DOUBLE, 
	serve_us INTEGER, 
	serve_zone VARCHAR, 
	rest_s DOUBLE, 
	shape VARCHAR, 
	thickness_m DOUBLE, 
	ended_us INTEGER, 
	binned_us INTEGER, 
	invented BOOLEAN NOT NULL, 
	fingerprint VARCHAR, 
	source VARCHAR
, changes INTEGER DEFAULT 0 NOT NULL);
INSERT INTO "cook" VALUES(1,'Goose for six (invented)',1792230000000000,'+02:00','C','kg','goose',4.6,160.0,150.0,175.0,1792248000000000,NULL,1200.0,NULL,NULL,NULL,NULL,0,NULL,NULL,0);
INSERT INTO "cook" VALUES(2,'Duck in the rain (invented)',1791047700000000,'-05:00','C','kg','duck',2.3,150.0,140.0,165.0,1791063000000000,'-05:00',900.0,NULL,NULL,1792260000000000,NULL,1,'f2243985261d641f80e7a3a64729fe3190eefcc2568706598090ce49634b4609','{"format": 1, "title": "Duck in the rain (invented)", "started_at": "2026-10-03T12:15:00-05:00", "unit": "C", "plan": {"cut": "duck", "mass_kg": 2.3, "pit": 150, "pit_low": 140, "pit_high": 165, "serve_at": "2026-10-03T16:30:00-05:00", "rest_min": 15}, "probes": [{"name": "breast", "start": 4.4, "target": 74, "glaze": 62, "wrap": null}], "readings": [{"minute": 0, "pit": 148, "breast": 4.4}, {"minute": 21.5, "breast": 9.4}], "events": [{"minute": 62, "kind": "lid_open"}, {"minute": 95, "kind": "wrapped", "note": "x"}]}',1);
INSERT INTO "cook" VALUES(3,'Goose for six (invented)',1792230000000000,'+02:00','C','kg','goose',4.6,160.0,150.0,175.0,1792248000000000,NULL,1200.0,NULL,NULL,NULL,1792230060000000,0,NULL,NULL,0);
CREATE TABLE day (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	title VARCHAR NOT NULL, 
	wish VARCHAR NOT NULL, 
	created_us INTEGER NOT NULL, 
	closed_us INTEGER
);
INSERT INTO "day" VALUES(1,'Goose Sunday (invented)','{"cut": "goose"}',1792110000000000,NULL);
INSERT INTO "day" VALUES(2,'','{}',1791690000000000,1791750000000000);
CREATE TABLE day_cook (
	day_id INTEGER NOT NULL, 
	cook_id INTEGER NOT NULL, 
	CONSTRAINT pk_day_cook PRIMARY KEY (day_id, cook_id), 
	CONSTRAINT fk_day_cook_day_id_day FOREIGN KEY(day_id) REFERENCES day (id), 
	CONSTRAINT fk_day_cook_cook_id_cook FOREIGN KEY(cook_id) REFERENCES cook (id)
);
INSERT INTO "day_cook" VALUES(1,1);
INSERT INTO "day_cook" VALUES(1,3);
CREATE TABLE day_step (
	day_id INTEGER NOT NULL, 
	"key" VARCHAR NOT NULL, 
	ticked_us INTEGER, 
	moved_us INTEGER, 
	CONSTRAINT pk_day_step PRIMARY KEY (day_id, "key"), 
	CONSTRAINT fk_day_step_day_id_day FOREIGN KEY(day_id) REFERENCES day (id)
);
INSERT INTO "day_step" VALUES(1,'thaw',1792140000000000,NULL);
INSERT INTO "day_step" VALUES(1,'light',NULL,1792226370000000);
INSERT INTO "day_step" VALUES(1,'brine',1792170000000000,1792170600000000);
CREATE TABLE derived (
	cook_id INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	stamp VARCHAR NOT NULL, 
	payload VARCHAR NOT NULL, 
	CONSTRAINT pk_derived PRIMARY KEY (cook_id, kind), 
	CONSTRAINT fk_derived_cook_id_cook FOREIGN KEY(cook_id) REFERENCES cook (id)
);
INSERT INTO "derived" VALUES(2,'evidence:0','1','{"x": [1.5]}');
CREATE TABLE event (
	id INTEGER NOT NULL, 
	line_id INTEGER NOT NULL, 
	elapsed_s DOUBLE NOT NULL, 
	kind VARCHAR NOT NULL, 
	note VARCHAR NOT NULL, 
	CONSTRAINT pk_event PRIMARY KEY (id), 
	CONSTRAINT fk_event_line_id_line FOREIGN KEY(line_id) REFERENCES line (id)
);
INSERT INTO "event" VALUES(1,4,2460.0,'lid_open','''quoted'', ü');
INSERT INTO "event" VALUES(2,8,3720.0,'lid_open','');
INSERT INTO "event" VALUES(3,9,5700.0,'wrapped','x');
CREATE TABLE line (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	cook_id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	typed_us INTEGER NOT NULL, 
	at_us INTEGER NOT NULL, 
	deleted BOOLEAN NOT NULL, 
	replaces_id INTEGER, 
	replaced_by_id INTEGER, 
	CONSTRAINT fk_line_cook_id_cook FOREIGN KEY(cook_id) REFERENCES cook (id), 
	CONSTRAINT fk_line_replaces_id_line FOREIGN KEY(replaces_id) REFERENCES line (id), 
	CONSTRAINT fk_line_replaced_by_id_line FOREIGN KEY(replaced_by_id) REFERENCES line (id)
);
INSERT INTO "line" VALUES(1,1,'152.25 thigh 9.4 breast 11.0',1792231320000000,1792231290000000,0,NULL,NULL);
INSERT INTO "line" VALUES(2,1,'155.0 thigh 91.0',1792232430000000,1792232400000000,0,NULL,3);
INSERT INTO "line" VALUES(3,1,'155.0 thigh 19.0',1792232430000000,1792232400000000,0,2,NULL);
INSERT INTO "line" VALUES(4,1,'lid_open ''quoted'', ü',1792232460000000,1792232460000000,0,NULL,NULL);
INSERT INTO "line" VALUES(5,1,'None thigh 24.0',1792233030000000,1792233000000000,1,NULL,NULL);
INSERT INTO "line" VALUES(6,2,'148 4.4',1791047700000000,1791047700000000,0,NULL,NULL);
INSERT INTO "line" VALUES(7,2,'- 9.4',1791048990000000,1791048990000000,0,NULL,NULL);
INSERT INTO "line" VALUES(8,2,'lid_open',1791051420000000,1791051420000000,0,NULL,NULL);
INSERT INTO "line" VALUES(9,2,'wrapped x',1791053400000000,1791053400000000,0,NULL,NULL);
CREATE TABLE mix (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	cook_id INTEGER, 
	name VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	lines VARCHAR NOT NULL, 
	meat_kg DOUBLE, 
	saved_us INTEGER NOT NULL, 
	CONSTRAINT fk_mix_cook_id_cook FOREIGN KEY(cook_id) REFERENCES cook (id), 
	CONSTRAINT uq_mix_cook_id_name UNIQUE (cook_id, name)
);
INSERT INTO "mix" VALUES(1,NULL,'Plain brine','brine','["water 4 L", "salt 200 g", "sugar 50 g"]',4.6,1792176000000000);
INSERT INTO "mix" VALUES(2,NULL,'Pepper rub','rub','["black pepper 2 tbsp", "salt 1 tbsp"]',NULL,1792182000000000);
INSERT INTO "mix" VALUES(3,2,'Plain brine','brine','["water 3 L", "salt 150 g"]',2.3,1792188000000000);
CREATE TABLE outcome (
	cook_id INTEGER NOT NULL, 
	tender INTEGER, 
	juicy INTEGER, 
	skin INTEGER, 
	smoke INTEGER, 
	words VARCHAR NOT NULL, 
	change VARCHAR NOT NULL, 
	wood VARCHAR NOT NULL, 
	CONSTRAINT pk_outcome PRIMARY KEY (cook_id), 
	CONSTRAINT fk_outcome_cook_id_cook FOREIGN KEY(cook_id) REFERENCES cook (id)
);
INSERT INTO "outcome" VALUES(2,4,3,NULL,5,'crisp; a little dry at the wing, ''for once''','lower pit, ü','cherry');
CREATE TABLE probe (
	id INTEGER NOT NULL, 
	cook_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	target_c DOUBLE NOT NULL, 
	start_c DOUBLE, 
	glaze_c DOUBLE, 
	wrap_c DOUBLE, 
	CONSTRAINT pk_probe PRIMARY KEY (id), 
	CONSTRAINT fk_probe_cook_id_cook FOREIGN KEY(cook_id) REFERENCES cook (id), 
	CONSTRAINT uq_probe_cook_id_name UNIQUE (cook_id, name)
);
INSERT INTO "probe" VALUES(1,1,0,'thigh',80.0,5.0,NULL,NULL);
INSERT INTO "probe" VALUES(2,1,1,'breast',74.0,4.5,62.0,NULL);
INSERT INTO "probe" VALUES(3,2,0,'breast',74.0,4.4,62.0,NULL);
INSERT INTO "probe" VALUES(4,3,0,'thigh',80.0,5.0,NULL,NULL);
INSERT INTO "probe" VALUES(5,3,1,'breast',74.0,4.5,62.0,NULL);
CREATE TABLE reading (
	id INTEGER NOT NULL, 
	line_id INTEGER NOT NULL, 
	elapsed_s DOUBLE NOT NULL, 
	pit_c DOUBLE, 
	CONSTRAINT pk_reading PRIMARY KEY (id), 
	CONSTRAINT fk_reading_line_id_line FOREIGN KEY(line_id) REFERENCES line (id)
);
INSERT INTO "reading" VALUES(1,1,1290.0,152.25);
INSERT INTO "reading" VALUES(2,2,2400.0,155.0);
INSERT INTO "reading" VALUES(3,3,2400.0,155.0);
INSERT INTO "reading" VALUES(4,5,3000.0,NULL);
INSERT INTO "reading" VALUES(5,6,0.0,148.0);
INSERT INTO "reading" VALUES(6,7,1290.0,NULL);
CREATE TABLE setting (
	"key" VARCHAR NOT NULL, 
	value VARCHAR NOT NULL, 
	CONSTRAINT pk_setting PRIMARY KEY ("key")
);
INSERT INTO "setting" VALUES('learning','off');
CREATE TABLE "temp" (
	reading_id INTEGER NOT NULL, 
	probe_id INTEGER NOT NULL, 
	temp_c DOUBLE NOT NULL, 
	CONSTRAINT pk_temp PRIMARY KEY (reading_id, probe_id), 
	CONSTRAINT fk_temp_reading_id_reading FOREIGN KEY(reading_id) REFERENCES reading (id), 
	CONSTRAINT fk_temp_probe_id_probe FOREIGN KEY(probe_id) REFERENCES probe (id)
);
INSERT INTO "temp" VALUES(1,1,9.4);
INSERT INTO "temp" VALUES(1,2,11.0);
INSERT INTO "temp" VALUES(2,1,91.0);
INSERT INTO "temp" VALUES(3,1,19.0);
INSERT INTO "temp" VALUES(4,1,24.0);
INSERT INTO "temp" VALUES(5,3,4.4);
INSERT INTO "temp" VALUES(6,3,9.4);
CREATE INDEX ix_cook_started_us ON cook (started_us);
CREATE INDEX ix_cook_fingerprint ON cook (fingerprint);
CREATE INDEX ix_line_cook_id_at_us ON line (cook_id, at_us);
CREATE INDEX ix_reading_line_id ON reading (line_id);
CREATE INDEX ix_temp_probe_id ON "temp" (probe_id);
CREATE INDEX ix_event_line_id ON event (line_id);
CREATE UNIQUE INDEX ix_mix_listed_name ON mix (name) WHERE cook_id IS NULL;
CREATE INDEX ix_day_cook_cook_id ON day_cook (cook_id);
CREATE INDEX ix_derived_kind ON derived (kind);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('cook',3);
INSERT INTO "sqlite_sequence" VALUES('line',9);
INSERT INTO "sqlite_sequence" VALUES('mix',3);
INSERT INTO "sqlite_sequence" VALUES('day',2);
COMMIT;
