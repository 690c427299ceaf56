BEGIN TRANSACTION;
CREATE TABLE "acts" (
  "id" INTEGER NOT NULL,
  "at" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "who" TEXT NOT NULL,
  "verb" TEXT NOT NULL,
  "words" TEXT NOT NULL,
  "undoes" INTEGER,
  PRIMARY KEY ("id")
) STRICT;
INSERT INTO "acts" VALUES(1,'2027-03-06T18:37:00+00:00','2027-03-06','mk','done','Look over at A1: done',NULL);
INSERT INTO "acts" VALUES(2,'2027-03-06T18:44:00+00:00','2027-03-06','mk','done','Change system S at S: done, 103.7 L',NULL);
INSERT INTO "acts" VALUES(3,'2027-03-06T18:51:00+00:00','2027-03-06','mk','done','Fill R1 at R1: done, 400.0 L',NULL);
INSERT INTO "acts" VALUES(4,'2027-03-06T18:58:00+00:00','2027-03-06','mk','partly','Change at B1: partly done (10 %), 8.4 L',NULL);
INSERT INTO "acts" VALUES(5,'2027-03-06T19:05:00+00:00','2027-03-06','mk','put-off','Squeeze the first sponge at B1-1: put off to Tue 9 Mar',NULL);
INSERT INTO "acts" VALUES(6,'2027-03-06T19:12:00+00:00','2027-03-06','mk','left-out','Feed at B1: left out (just fed)',NULL);
INSERT INTO "acts" VALUES(7,'2027-03-06T19:19:00+00:00','2027-03-06','mk','blocked','Heaters and air at room: cannot be done (waiting for parts)',NULL);
INSERT INTO "acts" VALUES(8,'2027-03-06T19:26:00+00:00','2027-03-06','mk','move','3 of calvus (calvus) moved B1 to A3',NULL);
INSERT INTO "acts" VALUES(9,'2027-03-06T19:33:00+00:00','2027-03-06','mk','move','12 of lelupi (lelupi) moved B2 to B3',NULL);
INSERT INTO "acts" VALUES(10,'2027-03-06T19:40:00+00:00','2027-03-06','tb','sold','4 of young calvus (young-calvus) in A1: sold, to a friend of the room',NULL);
INSERT INTO "acts" VALUES(11,'2027-03-06T19:47:00+00:00','2027-03-06','mk','died','1 of brevis (new-1) in Q1: died',NULL);
INSERT INTO "acts" VALUES(12,'2027-03-06T19:54:00+00:00','2027-03-06','mk','put-in','5 multifasciatus (multi) put into A4',NULL);
INSERT INTO "acts" VALUES(13,'2027-03-06T20:01:00+00:00','2027-03-06','mk','count','young lelupi (young-lelupi) in A2 counted: about 20, -4',NULL);
INSERT INTO "acts" VALUES(14,'2027-03-06T20:08:00+00:00','2027-03-06','mk','valve','valve of A4 on S shut',NULL);
INSERT INTO "acts" VALUES(15,'2027-03-06T20:15:00+00:00','2027-03-06','mk','pump','return pump of S off',NULL);
INSERT INTO "acts" VALUES(16,'2027-03-06T20:22:00+00:00','2027-03-06','mk','hold','hold hold-16 on B1 (filter) until lifted: eggs seen',NULL);
INSERT INTO "acts" VALUES(17,'2027-03-06T20:29:00+00:00','2027-03-06','mk','hold','hold hold-17 on A2 (change) until Sat 20 Mar: to see',NULL);
INSERT INTO "acts" VALUES(18,'2027-03-06T20:36:00+00:00','2027-03-06','mk','lift','hold hold-16 on B1 lifted',NULL);
INSERT INTO "acts" VALUES(19,'2027-03-06T20:43:00+00:00','2027-03-06','mk','reading','temperature at Q1: 25.5 C',NULL);
INSERT INTO "acts" VALUES(20,'2027-03-06T20:50:00+00:00','2027-03-06','mk','seen','B1: spawn 40 on Sat 6 Mar (in the back shell)',NULL);
INSERT INTO "acts" VALUES(21,'2027-03-06T20:57:00+00:00','2027-03-06','mk','class','A5 is clean: gills well again',NULL);
INSERT INTO "acts" VALUES(22,'2027-03-06T21:04:00+00:00','2027-03-06','mk','facts','setup settings changed',NULL);
INSERT INTO "acts" VALUES(23,'2027-03-06T21:11:00+00:00','2027-03-06','mk','facts','tanks A2 changed',NULL);
INSERT INTO "acts" VALUES(24,'2027-03-06T21:18:00+00:00','2027-03-06','mk','facts','systems S changed',NULL);
INSERT INTO "acts" VALUES(25,'2027-03-06T21:25:00+00:00','2027-03-06','mk','facts','reservoirs R2 changed',NULL);
INSERT INTO "acts" VALUES(26,'2027-03-06T21:32:00+00:00','2027-03-06','mk','facts','tanks B4 added',NULL);
INSERT INTO "acts" VALUES(27,'2027-03-06T21:39:00+00:00','2027-03-06','mk','facts','tanks B4 taken away',NULL);
INSERT INTO "acts" VALUES(28,'2027-03-06T21:46:00+00:00','2027-03-06','mk','done','Look over at B1: done',NULL);
INSERT INTO "acts" VALUES(29,'2027-03-06T21:53:00+00:00','2027-03-06','mk','undo','taken back: Look over at B1: done',28);
INSERT INTO "acts" VALUES(30,'2027-03-06T22:00:00+00:00','2027-03-06','mk','undo','taken back: 12 of lelupi (lelupi) moved B2 to B3',9);
INSERT INTO "acts" VALUES(31,'2027-03-06T22:07:00+00:00','2027-03-06','mk','undo','taken back: hold hold-17 on A2 (change) until Sat 20 Mar: to see',17);
INSERT INTO "acts" VALUES(32,'2027-03-06T22:14:00+00:00','2027-03-06','mk','undo','taken back: taken back: hold hold-17 on A2 (change) until Sat 20 Mar: to see',31);
INSERT INTO "acts" VALUES(33,'2027-03-07T22:21:00+00:00','2027-03-07','mk','done','Look over at A1: done',NULL);
INSERT INTO "acts" VALUES(34,'2027-03-07T22:28:00+00:00','2027-03-07','mk','done','Feed at A1: done',NULL);
CREATE TABLE "away" (
  "first" TEXT NOT NULL,
  "last" TEXT NOT NULL,
  "stand_in" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("first")
) STRICT;
INSERT INTO "away" VALUES('2027-08-02','2027-08-15','tb','');
CREATE TABLE "bases" (
  "sheet" TEXT NOT NULL PRIMARY KEY,
  "act" INTEGER NOT NULL,
  "seal" BLOB NOT NULL
) STRICT;
INSERT INTO "bases" VALUES('setup',0,X'7569E549C33FA0C0A993C04153FD3BA6');
INSERT INTO "bases" VALUES('racks',0,X'1823D8FC7E7B31633ACD29A70B64E056');
INSERT INTO "bases" VALUES('shelves',0,X'A32242EFE43DBC4442EAB7225CA335E7');
INSERT INTO "bases" VALUES('tanks',0,X'CDF3D694F381662727688AB0D18B6456');
INSERT INTO "bases" VALUES('filters',0,X'69C2B1CF83E03C8CBDCCB000C40B9C49');
INSERT INTO "bases" VALUES('systems',0,X'68B827AC868617FCF17388257298603C');
INSERT INTO "bases" VALUES('valves',0,X'9172A5EA71968FDD0D549C21A81E5314');
INSERT INTO "bases" VALUES('pumps',0,X'25DD540D6AB8BE20F70988ABB0CFFD2D');
INSERT INTO "bases" VALUES('reservoirs',0,X'20D440982E94AF5738E86EA53EEDD1CB');
INSERT INTO "bases" VALUES('groups',0,X'5F351F2EFA4956057C727056E9639705');
INSERT INTO "bases" VALUES('stays',0,X'DBC194A2771AE00BA53BE720784C1E05');
INSERT INTO "bases" VALUES('conditions',0,X'4969C7BAB49E79B652CF53D5796E52C3');
INSERT INTO "bases" VALUES('stocked',0,X'EB1DBE1C69A34119CA241621841B04BE');
INSERT INTO "bases" VALUES('jobs',0,X'38F9C1A480CCEC5139F39E4BBBEDC645');
INSERT INTO "bases" VALUES('between',0,X'5C156D6BB05FFFF1DD80C6E00D5C94F0');
INSERT INTO "bases" VALUES('holds',0,X'00000000000000000000000000000000');
INSERT INTO "bases" VALUES('counters',0,X'4ACB25D43D7322F4D29D8ADF4B9F9886');
INSERT INTO "bases" VALUES('people',0,X'D222C2D4B8D89A6BED68B35F5E08DE60');
INSERT INTO "bases" VALUES('away',0,X'1F13E1964B1F500FB00A62C07F143191');
INSERT INTO "bases" VALUES('events',0,X'7546BD5C5C3D3E82983E766E8662C0B5');
INSERT INTO "bases" VALUES('readings',0,X'00000000000000000000000000000000');
INSERT INTO "bases" VALUES('marks',0,X'00000000000000000000000000000000');
CREATE TABLE "between" (
  "code" TEXT NOT NULL,
  "first" TEXT NOT NULL,
  "relation" TEXT NOT NULL,
  "second" TEXT NOT NULL,
  "days" INTEGER NOT NULL,
  "scope" TEXT NOT NULL,
  "reason" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "between" VALUES('sponges','job squeeze-1','apart','job squeeze-2',14,'tank','one sponge stays ripe');
INSERT INTO "between" VALUES('not-both','kind filter','not-same-day','kind vac',0,'tank','');
CREATE TABLE "changes" (
  "act" INTEGER NOT NULL,
  "n" INTEGER NOT NULL,
  "sheet" TEXT NOT NULL,
  "key" TEXT NOT NULL,
  "before" TEXT NOT NULL,
  "after" TEXT NOT NULL,
  PRIMARY KEY ("act", "n")
) STRICT;
INSERT INTO "changes" VALUES(1,0,'marks','[1]','','{"id":1,"act":1,"job":"look","target":"A1","slot":"2027-03-06","outcome":"done","day":"2027-03-06","at":"2027-03-06T18:37:00+00:00","who":"mk","fraction":null,"litres":null,"minutes":3.0,"until":null,"reason":"","note":"all well"}');
INSERT INTO "changes" VALUES(2,0,'marks','[2]','','{"id":2,"act":2,"job":"change-s","target":"S","slot":"2027-03-06","outcome":"done","day":"2027-03-06","at":"2027-03-06T18:44:00+00:00","who":"mk","fraction":0.2,"litres":103.68,"minutes":null,"until":null,"reason":"","note":""}');
INSERT INTO "changes" VALUES(2,1,'reservoirs','["R1"]','{"code":"R1","name":"Soft","full_litres":1000.0,"dead_litres":30.0,"keep_back_litres":50.0,"holds_litres":900.0,"fill_litres_per_min":8.0,"heater_watts":1000.0,"unattended":0,"note":""}','{"code":"R1","name":"Soft","full_litres":1000.0,"dead_litres":30.0,"keep_back_litres":50.0,"holds_litres":796.32,"fill_litres_per_min":8.0,"heater_watts":1000.0,"unattended":0,"note":""}');
INSERT INTO "changes" VALUES(3,0,'marks','[3]','','{"id":3,"act":3,"job":"fill-r1","target":"R1","slot":"2027-03-05","outcome":"done","day":"2027-03-06","at":"2027-03-06T18:51:00+00:00","who":"mk","fraction":null,"litres":400.0,"minutes":null,"until":null,"reason":"","note":""}');
INSERT INTO "changes" VALUES(3,1,'reservoirs','["R1"]','{"code":"R1","name":"Soft","full_litres":1000.0,"dead_litres":30.0,"keep_back_litres":50.0,"holds_litres":796.32,"fill_litres_per_min":8.0,"heater_watts":1000.0,"unattended":0,"note":""}','{"code":"R1","name":"Soft","full_litres":1000.0,"dead_litres":30.0,"keep_back_litres":50.0,"holds_litres":1000.0,"fill_litres_per_min":8.0,"heater_watts":1000.0,"unattended":0,"note":""}');
INSERT INTO "changes" VALUES(4,0,'marks','[4]','','{"id":4,"act":4,"job":"change-alone","target":"B1","slot":"2027-03-06","outcome":"partly","day":"2027-03-06","at":"2027-03-06T18:58:00+00:00","who":"mk","fraction":0.1,"litres":8.352,"minutes":null,"until":null,"reason":"","note":""}');
INSERT INTO "changes" VALUES(4,1,'reservoirs','["R1"]','{"code":"R1","name":"Soft","full_litres":1000.0,"dead_litres":30.0,"keep_back_litres":50.0,"holds_litres":1000.0,"fill_litres_per_min":8.0,"heater_watts":1000.0,"unattended":0,"note":""}','{"code":"R1","name":"Soft","full_litres":1000.0,"dead_litres":30.0,"keep_back_litres":50.0,"holds_litres":991.648,"fill_litres_per_min":8.0,"heater_watts":1000.0,"unattended":0,"note":""}');
INSERT INTO "changes" VALUES(5,0,'marks','[5]','','{"id":5,"act":5,"job":"squeeze-1","target":"B1-1","slot":"2027-03-01","outcome":"put-off","day":"2027-03-06","at":"2027-03-06T19:05:00+00:00","who":"mk","fraction":null,"litres":null,"minutes":null,"until":"2027-03-09","reason":"","note":""}');
INSERT INTO "changes" VALUES(6,0,'marks','[6]','','{"id":6,"act":6,"job":"feed","target":"B1","slot":"2027-03-06","outcome":"left-out","day":"2027-03-06","at":"2027-03-06T19:12:00+00:00","who":"mk","fraction":null,"litres":null,"minutes":null,"until":null,"reason":"just fed","note":""}');
INSERT INTO "changes" VALUES(7,0,'marks','[7]','','{"id":7,"act":7,"job":"check","target":"room","slot":"2027-03-06","outcome":"blocked","day":"2027-03-06","at":"2027-03-06T19:19:00+00:00","who":"mk","fraction":null,"litres":null,"minutes":null,"until":null,"reason":"waiting for parts","note":""}');
INSERT INTO "changes" VALUES(7,1,'holds','["cannot-7"]','','{"code":"cannot-7","target":"room","kinds":"job check","cause":"blocked","reason":"waiting for parts","since":"2027-03-06","until":null}');
INSERT INTO "changes" VALUES(7,2,'jobs','["see-to-7"]','','{"code":"see-to-7","name":"See to room: waiting for parts","kind":"other","where":"room","rule":"once 2027-03-07","window":"-1/+2","starts":null,"from_time":null,"setup_minutes":0.0,"minutes":5.0,"fraction":null,"litres":null,"reservoir":"","effects":"","needs":"","stand_in":0,"active":1,"note":"lift cannot-7 with it"}');
INSERT INTO "changes" VALUES(8,0,'groups','["calvus"]','{"code":"calvus","line":"calvus","tank":"B1","count":6,"count_known":"exact","males":1,"males_known":"likely","females":3,"females_known":"sure","stage":"adult","since":"2026-09-08","born":null,"generation":"","origin":"","note":""}','{"code":"calvus","line":"calvus","tank":"B1","count":3,"count_known":"exact","males":0,"males_known":"likely","females":3,"females_known":"sure","stage":"adult","since":"2026-09-08","born":null,"generation":"","origin":"","note":""}');
INSERT INTO "changes" VALUES(8,1,'groups','["calvus.2"]','','{"code":"calvus.2","line":"calvus","tank":"A3","count":3,"count_known":"exact","males":1,"males_known":"likely","females":0,"females_known":"sure","stage":"adult","since":"2027-03-06","born":null,"generation":"","origin":"calvus","note":""}');
INSERT INTO "changes" VALUES(8,2,'events','[2]','','{"id":2,"act":8,"event":"moved-out","target":"B1","day":"2027-03-06","at":"2027-03-06T19:26:00+00:00","count":3,"who":"mk","note":"calvus to A3"}');
INSERT INTO "changes" VALUES(8,3,'events','[3]','','{"id":3,"act":8,"event":"moved","target":"A3","day":"2027-03-06","at":"2027-03-06T19:26:00+00:00","count":3,"who":"mk","note":"calvus from B1"}');
INSERT INTO "changes" VALUES(8,4,'stocked','["A3","2027-03-06"]','','{"tank":"A3","since":"2027-03-06","state":"fish"}');
INSERT INTO "changes" VALUES(9,0,'groups','["lelupi"]','{"code":"lelupi","line":"lelupi","tank":"B2","count":12,"count_known":"exact","males":1,"males_known":"likely","females":3,"females_known":"sure","stage":"adult","since":"2026-09-08","born":null,"generation":"","origin":"","note":""}','{"code":"lelupi","line":"lelupi","tank":"B3","count":12,"count_known":"exact","males":1,"males_known":"likely","females":3,"females_known":"sure","stage":"adult","since":"2027-03-06","born":null,"generation":"","origin":"","note":""}');
INSERT INTO "changes" VALUES(9,1,'events','[4]','','{"id":4,"act":9,"event":"moved-out","target":"B2","day":"2027-03-06","at":"2027-03-06T19:33:00+00:00","count":12,"who":"mk","note":"lelupi to B3"}');
INSERT INTO "changes" VALUES(9,2,'events','[5]','','{"id":5,"act":9,"event":"moved","target":"B3","day":"2027-03-06","at":"2027-03-06T19:33:00+00:00","count":12,"who":"mk","note":"lelupi from B2"}');
INSERT INTO "changes" VALUES(9,3,'stocked','["B2","2027-03-06"]','','{"tank":"B2","since":"2027-03-06","state":"empty"}');
INSERT INTO "changes" VALUES(9,4,'stocked','["B3","2027-03-06"]','','{"tank":"B3","since":"2027-03-06","state":"fish"}');
INSERT INTO "changes" VALUES(10,0,'groups','["young-calvus"]','{"code":"young-calvus","line":"young calvus","tank":"A1","count":18,"count_known":"exact","males":0,"males_known":"likely","females":0,"females_known":"sure","stage":"young","since":"2026-09-08","born":null,"generation":"","origin":"calvus","note":""}','{"code":"young-calvus","line":"young calvus","tank":"A1","count":14,"count_known":"exact","males":0,"males_known":"likely","females":0,"females_known":"sure","stage":"young","since":"2026-09-08","born":null,"generation":"","origin":"calvus","note":""}');
INSERT INTO "changes" VALUES(10,1,'events','[6]','','{"id":6,"act":10,"event":"sold","target":"A1","day":"2027-03-06","at":"2027-03-06T19:40:00+00:00","count":4,"who":"tb","note":"to a friend of the room"}');
INSERT INTO "changes" VALUES(11,0,'groups','["new-1"]','{"code":"new-1","line":"brevis","tank":"Q1","count":8,"count_known":"exact","males":0,"males_known":"sure","females":0,"females_known":"sure","stage":"adult","since":"2027-02-20","born":null,"generation":"","origin":"","note":""}','{"code":"new-1","line":"brevis","tank":"Q1","count":7,"count_known":"exact","males":0,"males_known":"sure","females":0,"females_known":"sure","stage":"adult","since":"2027-02-20","born":null,"generation":"","origin":"","note":""}');
INSERT INTO "changes" VALUES(11,1,'events','[7]','','{"id":7,"act":11,"event":"died","target":"Q1","day":"2027-03-06","at":"2027-03-06T19:47:00+00:00","count":1,"who":"mk","note":"new-1"}');
INSERT INTO "changes" VALUES(12,0,'groups','["multi"]','','{"code":"multi","line":"multifasciatus","tank":"A4","count":5,"count_known":"exact","males":0,"males_known":"sure","females":0,"females_known":"sure","stage":"adult","since":"2027-03-06","born":null,"generation":"","origin":"","note":""}');
INSERT INTO "changes" VALUES(12,1,'events','[8]','','{"id":8,"act":12,"event":"put-in","target":"A4","day":"2027-03-06","at":"2027-03-06T19:54:00+00:00","count":5,"who":"mk","note":"multi"}');
INSERT INTO "changes" VALUES(12,2,'stocked','["A4","2027-03-06"]','','{"tank":"A4","since":"2027-03-06","state":"fish"}');
INSERT INTO "changes" VALUES(13,0,'groups','["young-lelupi"]','{"code":"young-lelupi","line":"young lelupi","tank":"A2","count":24,"count_known":"exact","males":0,"males_known":"likely","females":0,"females_known":"sure","stage":"young","since":"2026-09-08","born":null,"generation":"","origin":"","note":""}','{"code":"young-lelupi","line":"young lelupi","tank":"A2","count":20,"count_known":"about","males":0,"males_known":"likely","females":0,"females_known":"sure","stage":"young","since":"2026-09-08","born":null,"generation":"","origin":"","note":""}');
INSERT INTO "changes" VALUES(13,1,'events','[9]','','{"id":9,"act":13,"event":"counted","target":"A2","day":"2027-03-06","at":"2027-03-06T20:01:00+00:00","count":20,"who":"mk","note":"young-lelupi: -4"}');
INSERT INTO "changes" VALUES(14,0,'valves','["A4","2027-03-06T20:08:00+00:00"]','','{"tank":"A4","at":"2027-03-06T20:08:00+00:00","system":"S","state":"shut"}');
INSERT INTO "changes" VALUES(15,0,'pumps','["S","2027-03-06T20:15:00+00:00"]','','{"system":"S","at":"2027-03-06T20:15:00+00:00","state":"off"}');
INSERT INTO "changes" VALUES(16,0,'holds','["hold-16"]','','{"code":"hold-16","target":"B1","kinds":"filter","cause":"keeper","reason":"eggs seen","since":"2027-03-06","until":null}');
INSERT INTO "changes" VALUES(17,0,'holds','["hold-17"]','','{"code":"hold-17","target":"A2","kinds":"change","cause":"keeper","reason":"to see","since":"2027-03-06","until":"2027-03-20"}');
INSERT INTO "changes" VALUES(18,0,'holds','["hold-16"]','{"code":"hold-16","target":"B1","kinds":"filter","cause":"keeper","reason":"eggs seen","since":"2027-03-06","until":null}','');
INSERT INTO "changes" VALUES(19,0,'readings','[1]','','{"id":1,"act":19,"target":"Q1","what":"temperature","value":25.5,"unit":"C","day":"2027-03-06","at":"2027-03-06T20:43:00+00:00","note":""}');
INSERT INTO "changes" VALUES(20,0,'events','[10]','','{"id":10,"act":20,"event":"spawn","target":"B1","day":"2027-03-06","at":"2027-03-06T20:50:00+00:00","count":40,"who":"mk","note":"in the back shell"}');
INSERT INTO "changes" VALUES(21,0,'conditions','["A5","2027-03-06"]','','{"tank":"A5","since":"2027-03-06","state":"clean","reason":"gills well again"}');
INSERT INTO "changes" VALUES(22,0,'setup','[]','{"name":"Small room","zone":"Europe/Dublin","day_starts":"04:00","change_day":"saturday","monday_minutes":45,"tuesday_minutes":45,"wednesday_minutes":45,"thursday_minutes":45,"friday_minutes":45,"saturday_minutes":180,"sunday_minutes":60,"hands_minutes":2.0,"steps_minutes":2.0,"largest_change":0.4,"demo_opens_at":"","room_id":"small-1"}','{"name":"Small room","zone":"Europe/Dublin","day_starts":"04:00","change_day":"saturday","monday_minutes":45,"tuesday_minutes":45,"wednesday_minutes":45,"thursday_minutes":45,"friday_minutes":45,"saturday_minutes":150,"sunday_minutes":60,"hands_minutes":2.0,"steps_minutes":2.0,"largest_change":0.4,"demo_opens_at":"","room_id":"small-1"}');
INSERT INTO "changes" VALUES(23,0,'tanks','["A2"]','{"code":"A2","rack":"A","shelf":1,"place":2,"role":"grow-out","length_cm":60.0,"width_cm":40.0,"height_cm":40.0,"water_cm":36.0,"sand_cm":0.0,"rock_kg":0.0,"gear_litres":0.0,"measured_litres":null,"measured_on":null,"bottom":"bare","heater":0,"lid":1,"note":""}','{"code":"A2","rack":"A","shelf":1,"place":2,"role":"grow-out","length_cm":60.0,"width_cm":40.0,"height_cm":40.0,"water_cm":36.0,"sand_cm":0.0,"rock_kg":0.0,"gear_litres":0.0,"measured_litres":null,"measured_on":null,"bottom":"bare","heater":0,"lid":1,"note":"slow drain"}');
INSERT INTO "changes" VALUES(24,0,'systems','["S"]','{"code":"S","name":"Long side","sump_litres":180.0,"pipes_litres":15.0,"sump_known":"computed","note":""}','{"code":"S","name":"Long side","sump_litres":180.0,"pipes_litres":16.0,"sump_known":"computed","note":""}');
INSERT INTO "changes" VALUES(25,0,'reservoirs','["R2"]','{"code":"R2","name":"Tap","full_litres":400.0,"dead_litres":0.0,"keep_back_litres":0.0,"holds_litres":400.0,"fill_litres_per_min":null,"heater_watts":null,"unattended":1,"note":""}','{"code":"R2","name":"Tap, by the sink","full_litres":400.0,"dead_litres":0.0,"keep_back_litres":0.0,"holds_litres":400.0,"fill_litres_per_min":null,"heater_watts":null,"unattended":1,"note":""}');
INSERT INTO "changes" VALUES(26,0,'tanks','["B4"]','','{"code":"B4","rack":"B","shelf":1,"place":4,"role":"breeding","length_cm":60.0,"width_cm":40.0,"height_cm":40.0,"water_cm":36.0,"sand_cm":2.0,"rock_kg":0.0,"gear_litres":0.0,"measured_litres":null,"measured_on":null,"bottom":"sand","heater":1,"lid":1,"note":"on trial"}');
INSERT INTO "changes" VALUES(27,0,'tanks','["B4"]','{"code":"B4","rack":"B","shelf":1,"place":4,"role":"breeding","length_cm":60.0,"width_cm":40.0,"height_cm":40.0,"water_cm":36.0,"sand_cm":2.0,"rock_kg":0.0,"gear_litres":0.0,"measured_litres":null,"measured_on":null,"bottom":"sand","heater":1,"lid":1,"note":"on trial"}','');
INSERT INTO "changes" VALUES(28,0,'marks','[8]','','{"id":8,"act":28,"job":"look","target":"B1","slot":"2027-03-06","outcome":"done","day":"2027-03-06","at":"2027-03-06T21:46:00+00:00","who":"mk","fraction":null,"litres":null,"minutes":null,"until":null,"reason":"","note":""}');
INSERT INTO "changes" VALUES(29,0,'marks','[8]','{"id":8,"act":28,"job":"look","target":"B1","slot":"2027-03-06","outcome":"done","day":"2027-03-06","at":"2027-03-06T21:46:00+00:00","who":"mk","fraction":null,"litres":null,"minutes":null,"until":null,"reason":"","note":""}','');
INSERT INTO "changes" VALUES(30,0,'events','[5]','{"id":5,"act":9,"event":"moved","target":"B3","day":"2027-03-06","at":"2027-03-06T19:33:00+00:00","count":12,"who":"mk","note":"lelupi from B2"}','');
INSERT INTO "changes" VALUES(30,1,'events','[4]','{"id":4,"act":9,"event":"moved-out","target":"B2","day":"2027-03-06","at":"2027-03-06T19:33:00+00:00","count":12,"who":"mk","note":"lelupi to B3"}','');
INSERT INTO "changes" VALUES(30,2,'groups','["lelupi"]','{"code":"lelupi","line":"lelupi","tank":"B3","count":12,"count_known":"exact","males":1,"males_known":"likely","females":3,"females_known":"sure","stage":"adult","since":"2027-03-06","born":null,"generation":"","origin":"","note":""}','{"code":"lelupi","line":"lelupi","tank":"B2","count":12,"count_known":"exact","males":1,"males_known":"likely","females":3,"females_known":"sure","stage":"adult","since":"2026-09-08","born":null,"generation":"","origin":"","note":""}');
INSERT INTO "changes" VALUES(30,3,'stocked','["B3","2027-03-06"]','{"tank":"B3","since":"2027-03-06","state":"fish"}','');
INSERT INTO "changes" VALUES(30,4,'stocked','["B2","2027-03-06"]','{"tank":"B2","since":"2027-03-06","state":"empty"}','');
INSERT INTO "changes" VALUES(31,0,'holds','["hold-17"]','{"code":"hold-17","target":"A2","kinds":"change","cause":"keeper","reason":"to see","since":"2027-03-06","until":"2027-03-20"}','');
INSERT INTO "changes" VALUES(32,0,'holds','["hold-17"]','','{"code":"hold-17","target":"A2","kinds":"change","cause":"keeper","reason":"to see","since":"2027-03-06","until":"2027-03-20"}');
INSERT INTO "changes" VALUES(33,0,'marks','[9]','','{"id":9,"act":33,"job":"look","target":"A1","slot":"2027-03-07","outcome":"done","day":"2027-03-07","at":"2027-03-07T22:21:00+00:00","who":"mk","fraction":null,"litres":null,"minutes":null,"until":null,"reason":"","note":""}');
INSERT INTO "changes" VALUES(34,0,'marks','[10]','','{"id":10,"act":34,"job":"feed","target":"A1","slot":"2027-03-07","outcome":"done","day":"2027-03-07","at":"2027-03-07T22:28:00+00:00","who":"mk","fraction":null,"litres":null,"minutes":null,"until":null,"reason":"","note":""}');
CREATE TABLE "conditions" (
  "tank" TEXT NOT NULL,
  "since" TEXT NOT NULL,
  "state" TEXT NOT NULL,
  "reason" TEXT NOT NULL,
  PRIMARY KEY ("tank", "since")
) STRICT;
INSERT INTO "conditions" VALUES('A5','2027-02-01','watch','pale gills seen');
INSERT INTO "conditions" VALUES('A5','2027-03-06','clean','gills well again');
CREATE TABLE "counters" (
  "counter" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "value" REAL NOT NULL,
  "unit" TEXT NOT NULL,
  PRIMARY KEY ("counter", "day")
) STRICT;
INSERT INTO "counters" VALUES('carbon','2027-01-04',1000.0,'litres');
INSERT INTO "counters" VALUES('carbon','2027-02-22',2500.0,'litres');
CREATE TABLE "events" (
  "id" INTEGER NOT NULL,
  "act" INTEGER,
  "event" TEXT NOT NULL,
  "target" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "at" TEXT,
  "count" INTEGER,
  "who" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("id")
) STRICT;
INSERT INTO "events" VALUES(1,NULL,'arrival','Q1','2027-02-20',NULL,8,'mk','');
INSERT INTO "events" VALUES(2,8,'moved-out','B1','2027-03-06','2027-03-06T19:26:00+00:00',3,'mk','calvus to A3');
INSERT INTO "events" VALUES(3,8,'moved','A3','2027-03-06','2027-03-06T19:26:00+00:00',3,'mk','calvus from B1');
INSERT INTO "events" VALUES(6,10,'sold','A1','2027-03-06','2027-03-06T19:40:00+00:00',4,'tb','to a friend of the room');
INSERT INTO "events" VALUES(7,11,'died','Q1','2027-03-06','2027-03-06T19:47:00+00:00',1,'mk','new-1');
INSERT INTO "events" VALUES(8,12,'put-in','A4','2027-03-06','2027-03-06T19:54:00+00:00',5,'mk','multi');
INSERT INTO "events" VALUES(9,13,'counted','A2','2027-03-06','2027-03-06T20:01:00+00:00',20,'mk','young-lelupi: -4');
INSERT INTO "events" VALUES(10,20,'spawn','B1','2027-03-06','2027-03-06T20:50:00+00:00',40,'mk','in the back shell');
CREATE TABLE "filters" (
  "code" TEXT NOT NULL,
  "tank" TEXT NOT NULL,
  "kind" TEXT NOT NULL,
  "since" TEXT,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "filters" VALUES('B1-1','B1','sponge','2026-09-01','');
INSERT INTO "filters" VALUES('B1-2','B1','sponge','2026-09-01','');
INSERT INTO "filters" VALUES('B2-1','B2','sponge','2026-09-01','');
INSERT INTO "filters" VALUES('B2-2','B2','sponge','2026-09-01','');
INSERT INTO "filters" VALUES('B3-1','B3','sponge','2026-09-01','');
INSERT INTO "filters" VALUES('B3-2','B3','sponge','2026-09-01','');
INSERT INTO "filters" VALUES('Q1-1','Q1','sponge','2026-09-01','');
CREATE TABLE "groups" (
  "code" TEXT NOT NULL,
  "line" TEXT NOT NULL,
  "tank" TEXT NOT NULL,
  "count" INTEGER NOT NULL,
  "count_known" TEXT NOT NULL,
  "males" INTEGER NOT NULL,
  "males_known" TEXT NOT NULL,
  "females" INTEGER NOT NULL,
  "females_known" TEXT NOT NULL,
  "stage" TEXT NOT NULL,
  "since" TEXT NOT NULL,
  "born" TEXT,
  "generation" TEXT NOT NULL,
  "origin" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "groups" VALUES('calvus','calvus','B1',3,'exact',0,'likely',3,'sure','adult','2026-09-08',NULL,'','','');
INSERT INTO "groups" VALUES('lelupi','lelupi','B2',12,'exact',1,'likely',3,'sure','adult','2026-09-08',NULL,'','','');
INSERT INTO "groups" VALUES('young-calvus','young calvus','A1',14,'exact',0,'likely',0,'sure','young','2026-09-08',NULL,'','calvus','');
INSERT INTO "groups" VALUES('young-lelupi','young lelupi','A2',20,'about',0,'likely',0,'sure','young','2026-09-08',NULL,'','','');
INSERT INTO "groups" VALUES('new-1','brevis','Q1',7,'exact',0,'sure',0,'sure','adult','2027-02-20',NULL,'','','');
INSERT INTO "groups" VALUES('calvus.2','calvus','A3',3,'exact',1,'likely',0,'sure','adult','2027-03-06',NULL,'','calvus','');
INSERT INTO "groups" VALUES('multi','multifasciatus','A4',5,'exact',0,'sure',0,'sure','adult','2027-03-06',NULL,'','','');
CREATE TABLE "holds" (
  "code" TEXT NOT NULL,
  "target" TEXT NOT NULL,
  "kinds" TEXT NOT NULL,
  "cause" TEXT NOT NULL,
  "reason" TEXT NOT NULL,
  "since" TEXT NOT NULL,
  "until" TEXT,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "holds" VALUES('cannot-7','room','job check','blocked','waiting for parts','2027-03-06',NULL);
INSERT INTO "holds" VALUES('hold-17','A2','change','keeper','to see','2027-03-06','2027-03-20');
CREATE TABLE "jobs" (
  "code" TEXT NOT NULL,
  "name" TEXT NOT NULL,
  "kind" TEXT NOT NULL,
  "where" TEXT NOT NULL,
  "rule" TEXT NOT NULL,
  "window" TEXT NOT NULL,
  "starts" TEXT,
  "from_time" TEXT,
  "setup_minutes" REAL NOT NULL,
  "minutes" REAL NOT NULL,
  "fraction" REAL,
  "litres" REAL,
  "reservoir" TEXT NOT NULL,
  "effects" TEXT NOT NULL,
  "needs" TEXT NOT NULL,
  "stand_in" INTEGER NOT NULL,
  "active" INTEGER NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "jobs" VALUES('look','Look over','look','all tanks','every 1 days','',NULL,NULL,0.0,0.5,NULL,NULL,'','','',1,1,'');
INSERT INTO "jobs" VALUES('feed','Feed','feed','all tanks','every 1 days','',NULL,'18:00',0.0,0.5,NULL,NULL,'','','',1,1,'');
INSERT INTO "jobs" VALUES('check','Heaters and air','check','room','every 1 days','',NULL,NULL,0.0,3.0,NULL,NULL,'','','',1,1,'');
INSERT INTO "jobs" VALUES('change-s','Change system S','change','system S','every 7 days','-2/+3','2027-03-06',NULL,0.0,40.0,0.2,NULL,'R1','','',0,1,'');
INSERT INTO "jobs" VALUES('change-alone','Change','change','tanks standing alone','every 7 days','-2/+3','2027-03-06',NULL,0.0,6.0,0.3,NULL,'R1','','',0,1,'');
INSERT INTO "jobs" VALUES('squeeze-1','Squeeze the first sponge','filter','filter B1-1 B2-1 B3-1','every 28 days','','2027-03-01',NULL,0.0,4.0,NULL,NULL,'','','',0,1,'');
INSERT INTO "jobs" VALUES('squeeze-2','Squeeze the second sponge','filter','filter B1-2 B2-2 B3-2','every 28 days','','2027-03-15',NULL,0.0,4.0,NULL,NULL,'','','',0,1,'');
INSERT INTO "jobs" VALUES('fill-r1','Fill R1','fill','reservoir R1','calendar FREQ=WEEKLY;BYDAY=FR','','2027-03-05',NULL,2.0,5.0,NULL,400.0,'','','',0,1,'');
INSERT INTO "jobs" VALUES('test-q','Test the quarantine','test','tank Q1','event arrival +7 +21 +35','',NULL,NULL,0.0,6.0,NULL,NULL,'','','test kit',0,1,'');
INSERT INTO "jobs" VALUES('carbon','Change the carbon block','media','reservoir R1','counter carbon 4000','',NULL,NULL,0.0,15.0,NULL,NULL,'','','',0,1,'');
INSERT INTO "jobs" VALUES('strip','Strip and dry','strip','all tanks','state empty +14','',NULL,NULL,0.0,30.0,NULL,NULL,'','','',0,1,'');
INSERT INTO "jobs" VALUES('service','Service the air pump','equipment','room','once 2027-03-20','-5/+5',NULL,NULL,0.0,45.0,NULL,NULL,'','event serviced','',0,1,'');
INSERT INTO "jobs" VALUES('refill','Refill S','top-off','system S','follows change-s 15 min','',NULL,NULL,0.0,10.0,NULL,NULL,'','pump on','',0,1,'');
INSERT INTO "jobs" VALUES('see-to-7','See to room: waiting for parts','other','room','once 2027-03-07','-1/+2',NULL,NULL,0.0,5.0,NULL,NULL,'','','',0,1,'lift cannot-7 with it');
CREATE TABLE "marks" (
  "id" INTEGER NOT NULL,
  "act" INTEGER,
  "job" TEXT NOT NULL,
  "target" TEXT NOT NULL,
  "slot" TEXT NOT NULL,
  "outcome" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "at" TEXT NOT NULL,
  "who" TEXT NOT NULL,
  "fraction" REAL,
  "litres" REAL,
  "minutes" REAL,
  "until" TEXT,
  "reason" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("id")
) STRICT;
INSERT INTO "marks" VALUES(1,1,'look','A1','2027-03-06','done','2027-03-06','2027-03-06T18:37:00+00:00','mk',NULL,NULL,3.0,NULL,'','all well');
INSERT INTO "marks" VALUES(2,2,'change-s','S','2027-03-06','done','2027-03-06','2027-03-06T18:44:00+00:00','mk',0.2,103.68,NULL,NULL,'','');
INSERT INTO "marks" VALUES(3,3,'fill-r1','R1','2027-03-05','done','2027-03-06','2027-03-06T18:51:00+00:00','mk',NULL,400.0,NULL,NULL,'','');
INSERT INTO "marks" VALUES(4,4,'change-alone','B1','2027-03-06','partly','2027-03-06','2027-03-06T18:58:00+00:00','mk',0.1,8.352,NULL,NULL,'','');
INSERT INTO "marks" VALUES(5,5,'squeeze-1','B1-1','2027-03-01','put-off','2027-03-06','2027-03-06T19:05:00+00:00','mk',NULL,NULL,NULL,'2027-03-09','','');
INSERT INTO "marks" VALUES(6,6,'feed','B1','2027-03-06','left-out','2027-03-06','2027-03-06T19:12:00+00:00','mk',NULL,NULL,NULL,NULL,'just fed','');
INSERT INTO "marks" VALUES(7,7,'check','room','2027-03-06','blocked','2027-03-06','2027-03-06T19:19:00+00:00','mk',NULL,NULL,NULL,NULL,'waiting for parts','');
INSERT INTO "marks" VALUES(9,33,'look','A1','2027-03-07','done','2027-03-07','2027-03-07T22:21:00+00:00','mk',NULL,NULL,NULL,NULL,'','');
INSERT INTO "marks" VALUES(10,34,'feed','A1','2027-03-07','done','2027-03-07','2027-03-07T22:28:00+00:00','mk',NULL,NULL,NULL,NULL,'','');
CREATE TABLE "numbers" (
  "sheet" TEXT NOT NULL PRIMARY KEY,
  "last" INTEGER NOT NULL
) STRICT;
INSERT INTO "numbers" VALUES('marks',10);
INSERT INTO "numbers" VALUES('events',10);
INSERT INTO "numbers" VALUES('readings',1);
CREATE TABLE "people" (
  "code" TEXT NOT NULL,
  "name" TEXT NOT NULL,
  "part" TEXT NOT NULL,
  "present" INTEGER NOT NULL,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "people" VALUES('mk','Maeve','keeper',1);
INSERT INTO "people" VALUES('tb','Tom','stand-in',1);
CREATE TABLE "pumps" (
  "system" TEXT NOT NULL,
  "at" TEXT NOT NULL,
  "state" TEXT NOT NULL,
  PRIMARY KEY ("system", "at")
) STRICT;
INSERT INTO "pumps" VALUES('S','2026-09-01T10:00:00+01:00','running');
INSERT INTO "pumps" VALUES('S','2027-03-06T20:15:00+00:00','off');
CREATE TABLE "racks" (
  "code" TEXT NOT NULL,
  "name" TEXT NOT NULL,
  "path" INTEGER NOT NULL,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "racks" VALUES('A','By the door',1);
INSERT INTO "racks" VALUES('B','Back',2);
CREATE TABLE "readings" (
  "id" INTEGER NOT NULL,
  "act" INTEGER,
  "target" TEXT NOT NULL,
  "what" TEXT NOT NULL,
  "value" REAL NOT NULL,
  "unit" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "at" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("id")
) STRICT;
INSERT INTO "readings" VALUES(1,19,'Q1','temperature',25.5,'C','2027-03-06','2027-03-06T20:43:00+00:00','');
CREATE TABLE "reservoirs" (
  "code" TEXT NOT NULL,
  "name" TEXT NOT NULL,
  "full_litres" REAL NOT NULL,
  "dead_litres" REAL NOT NULL,
  "keep_back_litres" REAL NOT NULL,
  "holds_litres" REAL NOT NULL,
  "fill_litres_per_min" REAL,
  "heater_watts" REAL,
  "unattended" INTEGER NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "reservoirs" VALUES('R1','Soft',1000.0,30.0,50.0,991.648,8.0,1000.0,0,'');
INSERT INTO "reservoirs" VALUES('R2','Tap, by the sink',400.0,0.0,0.0,400.0,NULL,NULL,1,'');
CREATE TABLE "seals" (
  "act" INTEGER NOT NULL PRIMARY KEY,
  "seal" BLOB NOT NULL
) STRICT;
INSERT INTO "seals" VALUES(1,X'2E4397F697C9388F995B6708B2419DB1');
INSERT INTO "seals" VALUES(2,X'BB8D92F4F132C0A2EBE73A81D62CF57C');
INSERT INTO "seals" VALUES(3,X'3BF184EA8A070E1C3044DF0D4DD5B849');
INSERT INTO "seals" VALUES(4,X'002B40DE624632F51319A3FC0ED0FD46');
INSERT INTO "seals" VALUES(5,X'AE935C95616B44344F4B24EBFF9E75F0');
INSERT INTO "seals" VALUES(6,X'B8CDCE7C2964BF6A76077355C877063B');
INSERT INTO "seals" VALUES(7,X'A47EE338DBA96D4D33EC1C4FC758633F');
INSERT INTO "seals" VALUES(8,X'B2D847CD9E5249A4002489F2F32C31CE');
INSERT INTO "seals" VALUES(9,X'A3D2AA1D70F8BB0D32F1B6EAA695F93E');
INSERT INTO "seals" VALUES(10,X'5670AD63EBF0FA72A8B0C52420531E56');
INSERT INTO "seals" VALUES(11,X'EE3584A639F4AA54ADB02AE0B90E616E');
INSERT INTO "seals" VALUES(12,X'DC8D437D1579798ACB1AC5838E061F7E');
INSERT INTO "seals" VALUES(13,X'5DD24249F566C537EF4F33D740F6DEEF');
INSERT INTO "seals" VALUES(14,X'76FF318C9C50D8681C65525EE4DEA987');
INSERT INTO "seals" VALUES(15,X'4774B37468518F998E5879C23D1C79DE');
INSERT INTO "seals" VALUES(16,X'786DEBB64C34400B711310CA74F00E08');
INSERT INTO "seals" VALUES(17,X'A36ED09E8E8B2155ABDDD6B8541E6C21');
INSERT INTO "seals" VALUES(18,X'1DC97A833B29272449EEEDBBB668849D');
INSERT INTO "seals" VALUES(19,X'398A81B300A1D52BD5F6A2934734B482');
INSERT INTO "seals" VALUES(20,X'0D058AB7F3BC40576F911ECBFA46512D');
INSERT INTO "seals" VALUES(21,X'1FFE39DD5C745C582088020782B1FA82');
INSERT INTO "seals" VALUES(22,X'559201454956E9B404AE1E5A76F9FBF7');
INSERT INTO "seals" VALUES(23,X'19C90CA8786166E6A775208A206AB392');
INSERT INTO "seals" VALUES(24,X'6BC6B8F8D12AA2DF7665F2D0F5DC4F6E');
INSERT INTO "seals" VALUES(25,X'DE8B8EAC9ACD387D4CAC3A86BA620CF6');
INSERT INTO "seals" VALUES(26,X'2D1F718EC7880F855C30F22E4BCD7484');
INSERT INTO "seals" VALUES(27,X'71A01D3EE26DB1C070D3E053844C36D9');
INSERT INTO "seals" VALUES(28,X'A3D2677AEA7C8E13ED6FAA6C9C915F91');
INSERT INTO "seals" VALUES(29,X'42F4B82C859C9968A25BCAD1744C4B11');
INSERT INTO "seals" VALUES(30,X'97DC9FAD59CF9839D9D125919DEC26FD');
INSERT INTO "seals" VALUES(31,X'837774E07713E0302449F8DCD614E15A');
INSERT INTO "seals" VALUES(32,X'8ED7E0DE063AB32D4F20035E882F9387');
INSERT INTO "seals" VALUES(33,X'DDD7E81BF9C2794D7D45AA62665A7BD8');
INSERT INTO "seals" VALUES(34,X'7EF071BE15439B33E84ADC96979EC9A7');
CREATE TABLE "setup" (
  "name" TEXT NOT NULL,
  "zone" TEXT NOT NULL,
  "day_starts" TEXT NOT NULL,
  "change_day" TEXT NOT NULL,
  "monday_minutes" INTEGER NOT NULL,
  "tuesday_minutes" INTEGER NOT NULL,
  "wednesday_minutes" INTEGER NOT NULL,
  "thursday_minutes" INTEGER NOT NULL,
  "friday_minutes" INTEGER NOT NULL,
  "saturday_minutes" INTEGER NOT NULL,
  "sunday_minutes" INTEGER NOT NULL,
  "hands_minutes" REAL NOT NULL,
  "steps_minutes" REAL NOT NULL,
  "largest_change" REAL NOT NULL,
  "demo_opens_at" TEXT NOT NULL,
  "room_id" TEXT NOT NULL,
  "one" INTEGER NOT NULL DEFAULT 1 PRIMARY KEY CHECK ("one" = 1)
) STRICT;
INSERT INTO "setup" VALUES('Small room','Europe/Dublin','04:00','saturday',45,45,45,45,45,150,60,2.0,2.0,0.4,'','small-1',1);
CREATE TABLE "shelves" (
  "rack" TEXT NOT NULL,
  "shelf" INTEGER NOT NULL,
  "places" INTEGER NOT NULL,
  "reach" TEXT NOT NULL,
  PRIMARY KEY ("rack", "shelf")
) STRICT;
INSERT INTO "shelves" VALUES('A',1,3,'steps');
INSERT INTO "shelves" VALUES('A',2,3,'standing');
INSERT INTO "shelves" VALUES('B',1,4,'standing');
INSERT INTO "shelves" VALUES('B',2,3,'floor');
CREATE TABLE "stays" (
  "code" TEXT NOT NULL,
  "tank" TEXT NOT NULL,
  "since" TEXT NOT NULL,
  "days" INTEGER NOT NULL,
  "ended" TEXT,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "stays" VALUES('stay-1','Q1','2027-02-20',42,NULL,'');
CREATE TABLE "stocked" (
  "tank" TEXT NOT NULL,
  "since" TEXT NOT NULL,
  "state" TEXT NOT NULL,
  PRIMARY KEY ("tank", "since")
) STRICT;
INSERT INTO "stocked" VALUES('B1','2026-09-08','fish');
INSERT INTO "stocked" VALUES('B2','2026-09-08','fish');
INSERT INTO "stocked" VALUES('A1','2026-09-08','fish');
INSERT INTO "stocked" VALUES('A2','2026-09-08','fish');
INSERT INTO "stocked" VALUES('Q1','2027-02-20','fish');
INSERT INTO "stocked" VALUES('B3','2027-02-10','empty');
INSERT INTO "stocked" VALUES('A3','2027-03-06','fish');
INSERT INTO "stocked" VALUES('A4','2027-03-06','fish');
CREATE TABLE "systems" (
  "code" TEXT NOT NULL,
  "name" TEXT NOT NULL,
  "sump_litres" REAL NOT NULL,
  "pipes_litres" REAL NOT NULL,
  "sump_known" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "systems" VALUES('S','Long side',180.0,16.0,'computed','');
CREATE TABLE "tanks" (
  "code" TEXT NOT NULL,
  "rack" TEXT NOT NULL,
  "shelf" INTEGER NOT NULL,
  "place" INTEGER NOT NULL,
  "role" TEXT NOT NULL,
  "length_cm" REAL NOT NULL,
  "width_cm" REAL NOT NULL,
  "height_cm" REAL NOT NULL,
  "water_cm" REAL NOT NULL,
  "sand_cm" REAL NOT NULL,
  "rock_kg" REAL NOT NULL,
  "gear_litres" REAL NOT NULL,
  "measured_litres" REAL,
  "measured_on" TEXT,
  "bottom" TEXT NOT NULL,
  "heater" INTEGER NOT NULL,
  "lid" INTEGER NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;
INSERT INTO "tanks" VALUES('A1','A',1,1,'grow-out',60.0,40.0,40.0,36.0,0.0,0.0,0.0,NULL,NULL,'bare',0,1,'');
INSERT INTO "tanks" VALUES('A2','A',1,2,'grow-out',60.0,40.0,40.0,36.0,0.0,0.0,0.0,NULL,NULL,'bare',0,1,'slow drain');
INSERT INTO "tanks" VALUES('A3','A',1,3,'grow-out',60.0,40.0,40.0,36.0,0.0,0.0,0.0,NULL,NULL,'bare',0,1,'');
INSERT INTO "tanks" VALUES('A4','A',2,1,'grow-out',60.0,40.0,40.0,36.0,0.0,0.0,0.0,NULL,NULL,'bare',0,1,'');
INSERT INTO "tanks" VALUES('A5','A',2,2,'grow-out',60.0,40.0,40.0,36.0,0.0,0.0,0.0,NULL,NULL,'bare',0,1,'');
INSERT INTO "tanks" VALUES('A6','A',2,3,'grow-out',60.0,40.0,40.0,36.0,0.0,0.0,0.0,NULL,NULL,'bare',0,1,'');
INSERT INTO "tanks" VALUES('B1','B',1,1,'breeding',60.0,40.0,40.0,36.0,2.0,0.0,0.0,NULL,NULL,'sand',1,1,'');
INSERT INTO "tanks" VALUES('B2','B',1,2,'breeding',60.0,40.0,40.0,36.0,2.0,0.0,0.0,NULL,NULL,'sand',1,1,'');
INSERT INTO "tanks" VALUES('B3','B',1,3,'breeding',60.0,40.0,40.0,36.0,2.0,0.0,0.0,NULL,NULL,'sand',1,1,'');
INSERT INTO "tanks" VALUES('Q1','B',2,1,'quarantine',60.0,40.0,40.0,36.0,0.0,0.0,0.0,NULL,NULL,'bare',1,1,'');
CREATE TABLE "valves" (
  "tank" TEXT NOT NULL,
  "at" TEXT NOT NULL,
  "system" TEXT NOT NULL,
  "state" TEXT NOT NULL,
  PRIMARY KEY ("tank", "at")
) STRICT;
INSERT INTO "valves" VALUES('A1','2026-09-01T10:00:00+01:00','S','open');
INSERT INTO "valves" VALUES('A2','2026-09-01T10:00:00+01:00','S','open');
INSERT INTO "valves" VALUES('A3','2026-09-01T10:00:00+01:00','S','open');
INSERT INTO "valves" VALUES('A4','2026-09-01T10:00:00+01:00','S','open');
INSERT INTO "valves" VALUES('A5','2026-09-01T10:00:00+01:00','S','open');
INSERT INTO "valves" VALUES('A6','2026-09-01T10:00:00+01:00','S','open');
INSERT INTO "valves" VALUES('A4','2027-03-06T20:08:00+00:00','S','shut');
CREATE INDEX "marks_closing" ON "marks" ("job", "target", "day", "id") WHERE "outcome" IN ('done', 'left-out');
CREATE INDEX "marks_done" ON "marks" ("job", "target", "day", "id") WHERE "outcome" = 'done';
CREATE INDEX "marks_open" ON "marks" ("job", "target", "slot") WHERE "outcome" NOT IN ('done', 'left-out');
CREATE INDEX "marks_timed" ON "marks" ("job", "target", "id") WHERE "minutes" IS NOT NULL;
CREATE INDEX "marks_day" ON "marks" ("day");
CREATE INDEX "marks_target" ON "marks" ("target", "id");
CREATE INDEX "marks_act" ON "marks" ("act");
CREATE INDEX "events_day" ON "events" ("day");
CREATE INDEX "events_target" ON "events" ("target", "id");
CREATE INDEX "readings_target" ON "readings" ("target", "what", "day", "id");
CREATE INDEX "changes_row" ON "changes" ("sheet", "key", "act");
CREATE UNIQUE INDEX "acts_undoes" ON "acts" ("undoes") WHERE "undoes" IS NOT NULL;
COMMIT;
PRAGMA application_id = 1381256019;
PRAGMA user_version = 1;
