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

CREATE TABLE "racks" (
  "code" TEXT NOT NULL,
  "name" TEXT NOT NULL,
  "path" INTEGER NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "shelves" (
  "rack" TEXT NOT NULL,
  "shelf" INTEGER NOT NULL,
  "places" INTEGER NOT NULL,
  "reach" TEXT NOT NULL,
  PRIMARY KEY ("rack", "shelf")
) STRICT;

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

CREATE TABLE "filters" (
  "code" TEXT NOT NULL,
  "tank" TEXT NOT NULL,
  "kind" TEXT NOT NULL,
  "since" TEXT,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "systems" (
  "code" TEXT NOT NULL,
  "name" TEXT NOT NULL,
  "sump_litres" REAL NOT NULL,
  "pipes_litres" REAL NOT NULL,
  "sump_known" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "valves" (
  "tank" TEXT NOT NULL,
  "at" TEXT NOT NULL,
  "system" TEXT NOT NULL,
  "state" TEXT NOT NULL,
  PRIMARY KEY ("tank", "at")
) STRICT;

CREATE TABLE "pumps" (
  "system" TEXT NOT NULL,
  "at" TEXT NOT NULL,
  "state" TEXT NOT NULL,
  PRIMARY KEY ("system", "at")
) STRICT;

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

CREATE TABLE "stays" (
  "code" TEXT NOT NULL,
  "tank" TEXT NOT NULL,
  "since" TEXT NOT NULL,
  "days" INTEGER NOT NULL,
  "ended" TEXT,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "conditions" (
  "tank" TEXT NOT NULL,
  "since" TEXT NOT NULL,
  "state" TEXT NOT NULL,
  "reason" TEXT NOT NULL,
  PRIMARY KEY ("tank", "since")
) STRICT;

CREATE TABLE "stocked" (
  "tank" TEXT NOT NULL,
  "since" TEXT NOT NULL,
  "state" TEXT NOT NULL,
  PRIMARY KEY ("tank", "since")
) STRICT;

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

CREATE TABLE "counters" (
  "counter" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "value" REAL NOT NULL,
  "unit" TEXT NOT NULL,
  PRIMARY KEY ("counter", "day")
) STRICT;

CREATE TABLE "people" (
  "code" TEXT NOT NULL,
  "name" TEXT NOT NULL,
  "part" TEXT NOT NULL,
  "present" INTEGER NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "away" (
  "first" TEXT NOT NULL,
  "last" TEXT NOT NULL,
  "stand_in" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("first")
) STRICT;

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

CREATE TABLE "changes" (
  "act" INTEGER NOT NULL,
  "n" INTEGER NOT NULL,
  "sheet" TEXT NOT NULL,
  "key" TEXT NOT NULL,
  "before" TEXT NOT NULL,
  "after" TEXT NOT NULL,
  PRIMARY KEY ("act", "n")
) STRICT;

CREATE TABLE "numbers" (
  "sheet" TEXT NOT NULL PRIMARY KEY,
  "last" INTEGER NOT NULL
) STRICT;

CREATE TABLE "seals" (
  "act" INTEGER NOT NULL PRIMARY KEY,
  "seal" BLOB NOT NULL
) STRICT;

CREATE TABLE "bases" (
  "sheet" TEXT NOT NULL PRIMARY KEY,
  "act" INTEGER NOT NULL,
  "seal" BLOB NOT NULL
) STRICT;

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
