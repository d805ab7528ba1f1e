BEGIN TRANSACTION;
CREATE TABLE counter (one integer primary key check (one = 1), changes integer not null, token text not null) strict;
INSERT INTO "counter" VALUES(1,4,'394c2aab3f373be6');
CREATE TABLE history (
            kind text not null,
            key text not null,
            revision integer not null check (revision >= 1),
            deleted integer not null check (deleted in (0, 1)),
            at text not null,
            what text not null,
            doc text not null check (json_valid(doc)), form text, grows integer not null default 0 check (grows in (0, 1)),
            primary key (kind, key, revision)
        ) strict
        ;
INSERT INTO "history" VALUES('household','household',1,0,'2026-11-30T10:37:33.311+00:00','created','{"unit":"cm"}',NULL,0);
INSERT INTO "history" VALUES('household','household',2,0,'2026-11-30T10:37:33.572959+00:00','imported','{"unit":"cm","name":"an invented household","invented":true,"tape":{"revision":3,"sets":[{"of":"brown-pullover","dof":6.0,"ratio":0.9},{"of":"moss-sweater","kind":"overhangs","dof":2.0,"ratio":1.1}]},"notes":"kept in the drawer"}','m-SfTQF8eS8e6AAY',0);
INSERT INTO "history" VALUES('wearers','ida',1,0,'2026-11-30T10:37:33.572959+00:00','imported','{"id":"ida","name":"Ida","measured":"2025-01-10","body":{"chest":[{"text":"94 cm","unit":"cm","id":"r1"},{"text":"94.5","unit":"cm","id":"r2"}],"upper_arm":[{"text":"29,5 cm","unit":"cm","id":"r3"}],"shoulder_width":[{"text":"38.0","unit":"cm","id":"r4"}]},"head":[{"text":"56.0","unit":"cm","id":"r5"},{"text":"56.3 cm","unit":"cm","id":"r6"}],"notes":"prefers a loose sleeve"}','m-SfTQF8eS8e6AAY',0);
INSERT INTO "history" VALUES('garments','brown-pullover',1,0,'2026-11-30T10:37:33.572959+00:00','imported','{"id":"brown-pullover","name":"brown pullover","wearer":"ida","fabric":"wool, plain","thickness":"2.5 mm","growth_along_percent":1.5,"occasions":[{"id":"january","on":"2025-01-12","state":"washed_flat","washes":14,"readings":{"shoulder_width":[{"text":"41.5","unit":"cm","id":"r1"},{"text":"41.4 cm","unit":"cm","id":"r2"},{"text":"16 3/8 in","unit":"in","id":"r3","laying":2}],"chest":[{"text":"51.6","unit":"cm","id":"r4"},{"text":"51.8","unit":"cm","id":"r5"},{"text":"51.7","unit":"cm","id":"r6"}],"armhole_depth":[{"text":"20.7","unit":"cm","id":"r7"},{"text":"20.8","unit":"cm","id":"r8"},{"text":"20.6","unit":"cm","id":"r9"}],"shoulder_drop":[{"text":"2.7","unit":"cm","id":"r10"}],"to_underarm":[{"text":"38.6","unit":"cm","id":"r11"},{"text":"38.5","unit":"cm","id":"r12"}],"body_length":[{"text":"62.0","unit":"cm","id":"r13"},{"text":"62.1","unit":"cm","id":"r14"},{"text":"61.9","unit":"cm","id":"r15"}],"neck_width":[{"text":"18.2","unit":"cm","id":"r16"}],"sleeve_length":[{"text":"58.3","unit":"cm","id":"r17"}],"upper_arm":[{"text":"18.0","unit":"cm","id":"r18"}],"cuff":[{"text":"10.2","unit":"cm","id":"r19"}]}}]}','m-SfTQF8eS8e6AAY',0);
INSERT INTO "history" VALUES('yarns','moss-wool',1,0,'2026-11-30T10:37:33.572959+00:00','imported','{"id":"moss-wool","name":"moss green wool","fibres":[{"fibre":"wool","percent":80.0},{"fibre":"polyamide","percent":20.0}],"tex":250.0,"oiled":true,"lots":[{"lot":"17","grams":640.0},{"grams":55.5}],"care_label":"hand wash, dry flat"}','m-SfTQF8eS8e6AAY',0);
INSERT INTO "history" VALUES('machines','bed',1,0,'2026-11-30T10:37:33.572959+00:00','imported','{"id":"bed","name":"flat bed","pitch":"4.5 mm","needles":200,"carriage":"main"}','m-SfTQF8eS8e6AAY',0);
INSERT INTO "history" VALUES('swatches','swatch-7',1,0,'2026-11-30T10:37:33.572959+00:00','imported','{"yarn":"moss-wool","machine":"bed","dial":{"number":7,"marks":1},"id":"swatch-7","stitches":{"first":-20,"last":20,"rule":"centre_to_centre"},"rows":{"count":60},"stages":[{"kind":"off_machine","hours":0.5,"across":[{"text":"17.2","unit":"cm","id":"r1"},{"text":"17.3","unit":"cm","id":"r2"}],"along":[{"text":"20.9","unit":"cm","id":"r3"},{"text":"20.8","unit":"cm","id":"r4"}]},{"kind":"blocked","on":"2025-02-03","hours":20.0,"treatment":"30 degrees, by hand","blocking":"patted","grams":31.5,"across":[{"text":"17.6 cm","unit":"cm","id":"r5"},{"text":"17,5 cm","unit":"cm","id":"r6"},{"text":"17.6","unit":"cm","id":"r7"}],"along":[{"text":"18.6","unit":"cm","id":"r8"},{"text":"18.7","unit":"cm","id":"r9"},{"text":"18.6","unit":"cm","id":"r10"}]}]}','m-SfTQF8eS8e6AAY',0);
INSERT INTO "history" VALUES('size_tables','hillside',1,0,'2026-11-30T10:37:33.572959+00:00','imported','{"id":"hillside","name":"an invented pattern","gauge":{"stitches":22.0,"rows":30.0,"over":"10 cm"},"print_step":"0.5 cm","row_counted":["cap_height"],"sizes":[{"name":"M","pieces":{"back":{"chest":{"measure":"52 cm","count":118},"body_length":{"measure":"63 cm"}},"sleeve":{"upper_arm":{"count":84}}}},{"name":"3XL","pieces":{"back":{"chest":{"measure":"94 cm","count":212}}}}]}','m-SfTQF8eS8e6AAY',0);
INSERT INTO "history" VALUES('makes','moss-sweater',1,0,'2026-11-30T10:37:33.572959+00:00','imported','{"id":"moss-sweater","name":"moss sweater","started":"2025-02-01","wearer":"ida","fits":{"garment":"brown-pullover","occasion":"january","numbers":{"cuff":{"length":"10 cm"},"hem":{"length":"104 cm","meant":"round"}},"ease":{"upper_arm":"+6 cm"}},"wishes":{"sleeve_length":{"by":"+2 cm"},"body_length":{"by":"-1.5 cm"}},"tolerances":{"chest":{"smaller":"1.0 cm","larger":"1.0 cm"},"shoulder_width":{"smaller":"5 mm","larger":"1 cm"}},"weights":{"neck_width":1.5},"seams":{"side":"mattress","shoulder":"linked"},"bands":[{"edge":"neck","depth":"2.5 cm","how":"added_later"}],"yarn":"moss-wool","machine":"bed","swatches":["swatch-7"],"size_table":"hillside","size":"M","planned":{"back":{"hem":118,"body_length":200},"sleeve":{"cuff":48}},"done":[{"piece":"first-back","plan":"0123456789abcdef","deeds":[1,3]}],"costs":{"measure":0.05,"alter_hem":0.2,"rip_extra":0.167,"printed_counts":0.08,"before":{"rip_back":0.5,"knit_again":0.9,"other_counts":0.08}},"pieces":[{"yarn":"moss-wool","lot":"17","dial":{"number":7,"marks":1},"id":"first-back","piece":"back","counts":{"chest":{"planned":118,"counted":116},"body_length":{"knitted":200},"shoulder_width":{"knitted":92}},"rib":{"rows":22},"stages":[{"kind":"rested","on":"2025-02-20","hours":24.0,"grams":205.0,"photographs":["3005775cfbd40eb9393aec86bb1b599b9b7e1e06e06bf5b9a431a006c6d1574a"]},{"kind":"blocked","on":"2025-02-22","pinned":["across"],"readings":{"chest":[{"text":"50.9","unit":"cm","id":"r4"},{"text":"51.0","unit":"cm","id":"r5"}],"body_length":[{"text":"62.4","unit":"cm","id":"r6"}],"shoulder_width":[{"text":"40.7","unit":"cm","id":"r7"}]},"overhangs":{"shoulder_width":[{"text":"-0,8 cm","unit":"cm","id":"r8"},{"text":"−7 mm","unit":"mm","id":"r9"}],"chest":[{"text":"level","unit":"cm","id":"r10"}]},"held_at":{"chest":"51 cm"}}]},{"dial":{"number":7,"marks":1},"id":"second-back","piece":"back","replaces":"first-back","counts":{"chest":{"knitted":120}},"stages":[{"kind":"blocked","on":"2025-03-05","readings":{"chest":[{"text":"51.7 cm","unit":"cm","id":"r1","at":"2025-03-05T18:52:00+01:00","by":"Ida","laying":1},{"text":"53.9","unit":"cm","id":"r2","at":"2025-03-05T18:53:00","look":2,"confirmed":true},{"text":"20 1/4 in","unit":"in","id":"r3","set_aside":"the tape had slipped"}]}}]}],"learns_from":["grey-sweater"],"notes":"the sixth evening"}','m-SfTQF8eS8e6AAY',0);
INSERT INTO "history" VALUES('makes','grey-sweater',1,0,'2026-11-30T10:37:33.572959+00:00','imported','{"id":"grey-sweater","name":"grey sweater","started":"2024-09-01","finished":"2024-11-20"}','m-SfTQF8eS8e6AAY',0);
INSERT INTO "history" VALUES('garments','brown-pullover',2,0,'2026-11-30T10:37:33.612+00:00','reading_added','[[["occasions","january","readings","chest"],{"text":"51.5 cm","unit":"cm","id":"nine"}]]',NULL,1);
INSERT INTO "history" VALUES('garments','brown-pullover',3,0,'2026-11-30T10:37:33.620+00:00','reading_added','[[["occasions","january","readings","chest"],{"text":"51.6 cm","unit":"cm","id":"ten"}]]',NULL,1);
INSERT INTO "history" VALUES('makes','moss-sweater',2,0,'2026-11-30T10:37:33.627+00:00','changed','{"id":"moss-sweater","name":"moss sweater","started":"2025-02-01","wearer":"ida","fits":{"garment":"brown-pullover","occasion":"january","numbers":{"cuff":{"length":"10 cm"},"hem":{"length":"104 cm","meant":"round"}},"ease":{"upper_arm":"+6 cm"}},"wishes":{"sleeve_length":{"by":"+2 cm"},"body_length":{"by":"-1.5 cm"}},"tolerances":{"chest":{"smaller":"1.0 cm","larger":"1.0 cm"},"shoulder_width":{"smaller":"5 mm","larger":"1 cm"}},"weights":{"neck_width":1.5},"seams":{"side":"mattress","shoulder":"linked"},"bands":[{"edge":"neck","depth":"2.5 cm","how":"added_later"}],"yarn":"moss-wool","machine":"bed","swatches":["swatch-7"],"size_table":"hillside","size":"M","planned":{"back":{"hem":118,"body_length":200},"sleeve":{"cuff":48}},"done":[{"piece":"first-back","plan":"0123456789abcdef","deeds":[1,3]}],"costs":{"measure":0.05,"alter_hem":0.2,"rip_extra":0.167,"printed_counts":0.08,"before":{"rip_back":0.5,"knit_again":0.9,"other_counts":0.08}},"pieces":[{"yarn":"moss-wool","lot":"17","dial":{"number":7,"marks":1},"id":"first-back","piece":"back","counts":{"chest":{"planned":118,"counted":116},"body_length":{"knitted":200},"shoulder_width":{"knitted":92}},"rib":{"rows":22},"stages":[{"kind":"rested","on":"2025-02-20","hours":24.0,"grams":205.0,"photographs":["3005775cfbd40eb9393aec86bb1b599b9b7e1e06e06bf5b9a431a006c6d1574a"]},{"kind":"blocked","on":"2025-02-22","pinned":["across"],"readings":{"chest":[{"text":"50.9","unit":"cm","id":"r4"},{"text":"51.0","unit":"cm","id":"r5"}],"body_length":[{"text":"62.4","unit":"cm","id":"r6"}],"shoulder_width":[{"text":"40.7","unit":"cm","id":"r7"}]},"overhangs":{"shoulder_width":[{"text":"-0,8 cm","unit":"cm","id":"r8"},{"text":"−7 mm","unit":"mm","id":"r9"}],"chest":[{"text":"level","unit":"cm","id":"r10"}]},"held_at":{"chest":"51 cm"}}]},{"dial":{"number":7,"marks":1},"id":"second-back","piece":"back","replaces":"first-back","counts":{"chest":{"knitted":120}},"stages":[{"kind":"blocked","on":"2025-03-05","readings":{"chest":[{"text":"51.7 cm","unit":"cm","id":"r1","at":"2025-03-05T18:52:00+01:00","by":"Ida","laying":1},{"text":"53.9","unit":"cm","id":"r2","at":"2025-03-05T18:53:00","look":2,"confirmed":true},{"text":"20 1/4 in","unit":"in","id":"r3","set_aside":"the tape had slipped"}]}}]}],"learns_from":["grey-sweater"],"notes":"the eighth evening"}','form-of-the-eighth-evening',0);
CREATE TABLE links (
            kind text not null,
            key text not null,
            to_kind text not null,
            to_key text not null,
            primary key (kind, key, to_kind, to_key),
            foreign key (kind, key) references records (kind, key)
        ) strict
        ;
INSERT INTO "links" VALUES('swatches','swatch-7','yarns','moss-wool');
INSERT INTO "links" VALUES('swatches','swatch-7','machines','bed');
INSERT INTO "links" VALUES('garments','brown-pullover','wearers','ida');
INSERT INTO "links" VALUES('makes','moss-sweater','wearers','ida');
INSERT INTO "links" VALUES('makes','moss-sweater','yarns','moss-wool');
INSERT INTO "links" VALUES('makes','moss-sweater','machines','bed');
INSERT INTO "links" VALUES('makes','moss-sweater','garments','brown-pullover');
INSERT INTO "links" VALUES('makes','moss-sweater','size_tables','hillside');
INSERT INTO "links" VALUES('makes','moss-sweater','swatches','swatch-7');
INSERT INTO "links" VALUES('makes','moss-sweater','makes','grey-sweater');
CREATE TABLE photographs (digest text primary key, bytes blob not null, at text not null) strict;
CREATE TABLE records (
            number integer primary key,
            kind text not null,
            key text not null,
            revision integer not null check (revision >= 1),
            deleted integer not null check (deleted in (0, 1)),
            position integer not null,
            name text not null,
            sort text not null,
            wearer text,
            search text not null,
            updated text not null,
            doc text not null check (json_valid(doc)),
            unique (kind, key)
        ) strict
        ;
INSERT INTO "records" VALUES(1,'household','household',2,0,0,'an invented household','an invented household',NULL,'household
an invented household
kept in the drawer','2026-11-30T10:37:33.572959+00:00','{"unit":"cm","name":"an invented household","invented":true,"tape":{"revision":3,"sets":[{"of":"brown-pullover","dof":6.0,"ratio":0.9},{"of":"moss-sweater","kind":"overhangs","dof":2.0,"ratio":1.1}]},"notes":"kept in the drawer"}');
INSERT INTO "records" VALUES(2,'wearers','ida',1,0,1,'Ida','ida',NULL,'ida
ida
prefers a loose sleeve','2026-11-30T10:37:33.572959+00:00','{"id":"ida","name":"Ida","measured":"2025-01-10","body":{"chest":[{"text":"94 cm","unit":"cm","id":"r1"},{"text":"94.5","unit":"cm","id":"r2"}],"upper_arm":[{"text":"29,5 cm","unit":"cm","id":"r3"}],"shoulder_width":[{"text":"38.0","unit":"cm","id":"r4"}]},"head":[{"text":"56.0","unit":"cm","id":"r5"},{"text":"56.3 cm","unit":"cm","id":"r6"}],"notes":"prefers a loose sleeve"}');
INSERT INTO "records" VALUES(3,'garments','brown-pullover',3,0,2,'brown pullover','brown pullover','ida','brown-pullover
brown pullover
wool, plain','2026-11-30T10:37:33.620+00:00','{"id":"brown-pullover","name":"brown pullover","wearer":"ida","fabric":"wool, plain","thickness":"2.5 mm","growth_along_percent":1.5,"occasions":[{"id":"january","on":"2025-01-12","state":"washed_flat","washes":14,"readings":{"shoulder_width":[{"text":"41.5","unit":"cm","id":"r1"},{"text":"41.4 cm","unit":"cm","id":"r2"},{"text":"16 3/8 in","unit":"in","id":"r3","laying":2}],"chest":[{"text":"51.6","unit":"cm","id":"r4"},{"text":"51.8","unit":"cm","id":"r5"},{"text":"51.7","unit":"cm","id":"r6"},{"text":"51.5 cm","unit":"cm","id":"nine"},{"text":"51.6 cm","unit":"cm","id":"ten"}],"armhole_depth":[{"text":"20.7","unit":"cm","id":"r7"},{"text":"20.8","unit":"cm","id":"r8"},{"text":"20.6","unit":"cm","id":"r9"}],"shoulder_drop":[{"text":"2.7","unit":"cm","id":"r10"}],"to_underarm":[{"text":"38.6","unit":"cm","id":"r11"},{"text":"38.5","unit":"cm","id":"r12"}],"body_length":[{"text":"62.0","unit":"cm","id":"r13"},{"text":"62.1","unit":"cm","id":"r14"},{"text":"61.9","unit":"cm","id":"r15"}],"neck_width":[{"text":"18.2","unit":"cm","id":"r16"}],"sleeve_length":[{"text":"58.3","unit":"cm","id":"r17"}],"upper_arm":[{"text":"18.0","unit":"cm","id":"r18"}],"cuff":[{"text":"10.2","unit":"cm","id":"r19"}]}}]}');
INSERT INTO "records" VALUES(4,'yarns','moss-wool',1,0,3,'moss green wool','moss green wool',NULL,'moss-wool
moss green wool','2026-11-30T10:37:33.572959+00:00','{"id":"moss-wool","name":"moss green wool","fibres":[{"fibre":"wool","percent":80.0},{"fibre":"polyamide","percent":20.0}],"tex":250.0,"oiled":true,"lots":[{"lot":"17","grams":640.0},{"grams":55.5}],"care_label":"hand wash, dry flat"}');
INSERT INTO "records" VALUES(5,'machines','bed',1,0,4,'flat bed','flat bed',NULL,'bed
flat bed','2026-11-30T10:37:33.572959+00:00','{"id":"bed","name":"flat bed","pitch":"4.5 mm","needles":200,"carriage":"main"}');
INSERT INTO "records" VALUES(6,'swatches','swatch-7',1,0,5,'swatch-7','swatch-7',NULL,'swatch-7
swatch-7','2026-11-30T10:37:33.572959+00:00','{"yarn":"moss-wool","machine":"bed","dial":{"number":7,"marks":1},"id":"swatch-7","stitches":{"first":-20,"last":20,"rule":"centre_to_centre"},"rows":{"count":60},"stages":[{"kind":"off_machine","hours":0.5,"across":[{"text":"17.2","unit":"cm","id":"r1"},{"text":"17.3","unit":"cm","id":"r2"}],"along":[{"text":"20.9","unit":"cm","id":"r3"},{"text":"20.8","unit":"cm","id":"r4"}]},{"kind":"blocked","on":"2025-02-03","hours":20.0,"treatment":"30 degrees, by hand","blocking":"patted","grams":31.5,"across":[{"text":"17.6 cm","unit":"cm","id":"r5"},{"text":"17,5 cm","unit":"cm","id":"r6"},{"text":"17.6","unit":"cm","id":"r7"}],"along":[{"text":"18.6","unit":"cm","id":"r8"},{"text":"18.7","unit":"cm","id":"r9"},{"text":"18.6","unit":"cm","id":"r10"}]}]}');
INSERT INTO "records" VALUES(7,'size_tables','hillside',1,0,6,'an invented pattern','an invented pattern',NULL,'hillside
an invented pattern','2026-11-30T10:37:33.572959+00:00','{"id":"hillside","name":"an invented pattern","gauge":{"stitches":22.0,"rows":30.0,"over":"10 cm"},"print_step":"0.5 cm","row_counted":["cap_height"],"sizes":[{"name":"M","pieces":{"back":{"chest":{"measure":"52 cm","count":118},"body_length":{"measure":"63 cm"}},"sleeve":{"upper_arm":{"count":84}}}},{"name":"3XL","pieces":{"back":{"chest":{"measure":"94 cm","count":212}}}}]}');
INSERT INTO "records" VALUES(8,'makes','moss-sweater',2,0,7,'moss sweater','moss sweater','ida','moss-sweater
moss sweater
the eighth evening','2026-11-30T10:37:33.627+00:00','{"id":"moss-sweater","name":"moss sweater","started":"2025-02-01","wearer":"ida","fits":{"garment":"brown-pullover","occasion":"january","numbers":{"cuff":{"length":"10 cm"},"hem":{"length":"104 cm","meant":"round"}},"ease":{"upper_arm":"+6 cm"}},"wishes":{"sleeve_length":{"by":"+2 cm"},"body_length":{"by":"-1.5 cm"}},"tolerances":{"chest":{"smaller":"1.0 cm","larger":"1.0 cm"},"shoulder_width":{"smaller":"5 mm","larger":"1 cm"}},"weights":{"neck_width":1.5},"seams":{"side":"mattress","shoulder":"linked"},"bands":[{"edge":"neck","depth":"2.5 cm","how":"added_later"}],"yarn":"moss-wool","machine":"bed","swatches":["swatch-7"],"size_table":"hillside","size":"M","planned":{"back":{"hem":118,"body_length":200},"sleeve":{"cuff":48}},"done":[{"piece":"first-back","plan":"0123456789abcdef","deeds":[1,3]}],"costs":{"measure":0.05,"alter_hem":0.2,"rip_extra":0.167,"printed_counts":0.08,"before":{"rip_back":0.5,"knit_again":0.9,"other_counts":0.08}},"pieces":[{"yarn":"moss-wool","lot":"17","dial":{"number":7,"marks":1},"id":"first-back","piece":"back","counts":{"chest":{"planned":118,"counted":116},"body_length":{"knitted":200},"shoulder_width":{"knitted":92}},"rib":{"rows":22},"stages":[{"kind":"rested","on":"2025-02-20","hours":24.0,"grams":205.0,"photographs":["3005775cfbd40eb9393aec86bb1b599b9b7e1e06e06bf5b9a431a006c6d1574a"]},{"kind":"blocked","on":"2025-02-22","pinned":["across"],"readings":{"chest":[{"text":"50.9","unit":"cm","id":"r4"},{"text":"51.0","unit":"cm","id":"r5"}],"body_length":[{"text":"62.4","unit":"cm","id":"r6"}],"shoulder_width":[{"text":"40.7","unit":"cm","id":"r7"}]},"overhangs":{"shoulder_width":[{"text":"-0,8 cm","unit":"cm","id":"r8"},{"text":"−7 mm","unit":"mm","id":"r9"}],"chest":[{"text":"level","unit":"cm","id":"r10"}]},"held_at":{"chest":"51 cm"}}]},{"dial":{"number":7,"marks":1},"id":"second-back","piece":"back","replaces":"first-back","counts":{"chest":{"knitted":120}},"stages":[{"kind":"blocked","on":"2025-03-05","readings":{"chest":[{"text":"51.7 cm","unit":"cm","id":"r1","at":"2025-03-05T18:52:00+01:00","by":"Ida","laying":1},{"text":"53.9","unit":"cm","id":"r2","at":"2025-03-05T18:53:00","look":2,"confirmed":true},{"text":"20 1/4 in","unit":"in","id":"r3","set_aside":"the tape had slipped"}]}}]}],"learns_from":["grey-sweater"],"notes":"the eighth evening"}');
INSERT INTO "records" VALUES(9,'makes','grey-sweater',1,0,8,'grey sweater','grey sweater',NULL,'grey-sweater
grey sweater','2026-11-30T10:37:33.572959+00:00','{"id":"grey-sweater","name":"grey sweater","started":"2024-09-01","finished":"2024-11-20"}');
CREATE TABLE taps (
            number integer primary key,
            make text not null,
            sheet text not null,
            id text not null,
            doc text not null,
            at text not null,
            unique (make, sheet, id)
        ) strict
        ;
CREATE INDEX records_listed on records (kind, deleted, sort, key);
CREATE INDEX records_of_wearer on records (kind, deleted, wearer, sort, key);
CREATE INDEX records_in_order on records (kind, position);
CREATE INDEX links_to on links (to_kind, to_key);
CREATE INDEX history_of_form on history (form) where form is not null;
CREATE INDEX photographs_by_age on photographs (at);
PRAGMA application_id = 1179927368;
PRAGMA user_version = 8;
COMMIT;
