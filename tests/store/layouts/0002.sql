ALTER TABLE "setup" ADD COLUMN "largest_step_celsius" REAL NOT NULL DEFAULT 1.0;

ALTER TABLE "setup" ADD COLUMN "largest_ph_step" REAL NOT NULL DEFAULT 0.3;

ALTER TABLE "setup" ADD COLUMN "water_loss" REAL NOT NULL DEFAULT 0.03;

ALTER TABLE "setup" ADD COLUMN "room_celsius" REAL NOT NULL DEFAULT 20.0;

ALTER TABLE "setup" ADD COLUMN "sump_margin_cm" REAL NOT NULL DEFAULT 2.0;

ALTER TABLE "setup" ADD COLUMN "feed_protein" REAL NOT NULL DEFAULT 0.45;

ALTER TABLE "setup" ADD COLUMN "hoses_watched" INTEGER NOT NULL DEFAULT 2;

ALTER TABLE "setup" ADD COLUMN "change_hour" TEXT NOT NULL DEFAULT '09:00';

ALTER TABLE "setup" ADD COLUMN "rounds" TEXT NOT NULL DEFAULT '07:30 20:00';

ALTER TABLE "setup" ADD COLUMN "nursery_g_per_l" REAL NOT NULL DEFAULT 0.2;

ALTER TABLE "setup" ADD COLUMN "alone_g_per_l" REAL NOT NULL DEFAULT 0.4;

ALTER TABLE "setup" ADD COLUMN "system_g_per_l" REAL NOT NULL DEFAULT 1.0;

ALTER TABLE "setup" ADD COLUMN "net_jobs_a_day" INTEGER NOT NULL DEFAULT 3;

ALTER TABLE "setup" ADD COLUMN "net_job_minutes" REAL NOT NULL DEFAULT 15.0;

ALTER TABLE "setup" ADD COLUMN "tub_litres" REAL NOT NULL DEFAULT 0.0;

ALTER TABLE "setup" ADD COLUMN "tub_minutes" REAL NOT NULL DEFAULT 45.0;

ALTER TABLE "setup" ADD COLUMN "tub_g_per_l" REAL NOT NULL DEFAULT 5.0;

ALTER TABLE "setup" ADD COLUMN "wide_step_celsius" REAL NOT NULL DEFAULT 2.0;

ALTER TABLE "setup" ADD COLUMN "quarantine_days" INTEGER NOT NULL DEFAULT 42;

ALTER TABLE "setup" ADD COLUMN "clear_days" INTEGER NOT NULL DEFAULT 28;

ALTER TABLE "setup" ADD COLUMN "clear_days_after_death" INTEGER NOT NULL DEFAULT 14;

ALTER TABLE "setup" ADD COLUMN "after_dose_days" INTEGER NOT NULL DEFAULT 14;

ALTER TABLE "setup" ADD COLUMN "cool_celsius" REAL NOT NULL DEFAULT 22.0;

CREATE TABLE "hours" (
  "weekday" TEXT NOT NULL,
  "from_time" TEXT NOT NULL,
  "until_time" TEXT NOT NULL,
  PRIMARY KEY ("weekday", "from_time")
) STRICT;

ALTER TABLE "tanks" ADD COLUMN "recipe" TEXT NOT NULL DEFAULT '';

ALTER TABLE "tanks" ADD COLUMN "largest_change" REAL;

ALTER TABLE "tanks" ADD COLUMN "largest_step_celsius" REAL;

ALTER TABLE "tanks" ADD COLUMN "nitrate_limit_mg_per_l" REAL;

ALTER TABLE "tanks" ADD COLUMN "feed_g_per_day" REAL;

ALTER TABLE "tanks" ADD COLUMN "density_limit_g_per_l" REAL;

ALTER TABLE "tanks" ADD COLUMN "guarded" INTEGER NOT NULL DEFAULT 1;

ALTER TABLE "systems" ADD COLUMN "sump_length_cm" REAL;

ALTER TABLE "systems" ADD COLUMN "sump_width_cm" REAL;

ALTER TABLE "systems" ADD COLUMN "sump_height_cm" REAL;

ALTER TABLE "systems" ADD COLUMN "sump_running_cm" REAL;

ALTER TABLE "systems" ADD COLUMN "head_cm" REAL NOT NULL DEFAULT 0.0;

ALTER TABLE "systems" ADD COLUMN "recipe" TEXT NOT NULL DEFAULT '';

ALTER TABLE "systems" ADD COLUMN "nitrate_limit_mg_per_l" REAL;

ALTER TABLE "systems" ADD COLUMN "top_off_litres_per_week" REAL;

CREATE TABLE "sources" (
  "code" TEXT NOT NULL,
  "kind" TEXT NOT NULL,
  "celsius" REAL,
  "hardness_dgh" REAL,
  "nitrate_mg_per_l" REAL,
  "ph" REAL,
  "litres_per_hour" REAL,
  "waste_ratio" REAL NOT NULL,
  "measured_on" TEXT,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "recipes" (
  "code" TEXT NOT NULL,
  "name" TEXT NOT NULL,
  "source" TEXT NOT NULL,
  "ro" TEXT NOT NULL,
  "celsius" REAL,
  "hardness_dgh" REAL,
  "salt_g_per_l" REAL NOT NULL,
  "ph" REAL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "rates" (
  "recipe" TEXT NOT NULL,
  "product" TEXT NOT NULL,
  "amount" REAL NOT NULL,
  "unit" TEXT NOT NULL,
  "per_litres" REAL NOT NULL,
  "when" TEXT NOT NULL,
  "caution" TEXT NOT NULL,
  PRIMARY KEY ("recipe", "product")
) STRICT;

ALTER TABLE "reservoirs" ADD COLUMN "loss_watts_per_kelvin" REAL NOT NULL DEFAULT 0.0;

ALTER TABLE "reservoirs" ADD COLUMN "rest_hours" REAL NOT NULL DEFAULT 0.0;

ALTER TABLE "reservoirs" ADD COLUMN "mix_minutes" REAL NOT NULL DEFAULT 60.0;

ALTER TABLE "reservoirs" ADD COLUMN "check_minutes" REAL NOT NULL DEFAULT 30.0;

ALTER TABLE "reservoirs" ADD COLUMN "hose_minutes" REAL NOT NULL DEFAULT 10.0;

ALTER TABLE "reservoirs" ADD COLUMN "pump_litres_per_min" REAL;

ALTER TABLE "reservoirs" ADD COLUMN "recipes" TEXT NOT NULL DEFAULT '';

CREATE TABLE "vessel_steps" (
  "id" INTEGER NOT NULL,
  "act" INTEGER,
  "reservoir" TEXT NOT NULL,
  "at" TEXT NOT NULL,
  "step" TEXT NOT NULL,
  "litres" REAL,
  "celsius" REAL,
  "recipe" TEXT NOT NULL,
  "for_day" TEXT,
  "who" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("id")
) STRICT;

CREATE TABLE "levels" (
  "tank" TEXT NOT NULL,
  "product" TEXT NOT NULL,
  "since" TEXT NOT NULL,
  "per_litre" REAL NOT NULL,
  "unit" TEXT NOT NULL,
  "until" TEXT,
  "medicine" INTEGER NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("tank", "product", "since")
) STRICT;

CREATE TABLE "choices" (
  "day" TEXT NOT NULL,
  "hour" TEXT,
  "share" REAL,
  "keep_back" INTEGER NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("day")
) STRICT;

CREATE TABLE "courses" (
  "code" TEXT NOT NULL,
  "name" TEXT NOT NULL,
  "product" TEXT NOT NULL,
  "amount" REAL,
  "unit" TEXT NOT NULL,
  "per_litres" REAL NOT NULL,
  "medicine" INTEGER NOT NULL,
  "with_others" INTEGER NOT NULL,
  "rest_days" INTEGER NOT NULL,
  "caution" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "course_steps" (
  "course" TEXT NOT NULL,
  "day" INTEGER NOT NULL,
  "action" TEXT NOT NULL,
  "share" REAL,
  "celsius" REAL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("course", "day", "action")
) STRICT;

CREATE TABLE "runs" (
  "code" TEXT NOT NULL,
  "course" TEXT NOT NULL,
  "tank" TEXT NOT NULL,
  "since" TEXT NOT NULL,
  "state" TEXT NOT NULL,
  "ended" TEXT,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

ALTER TABLE "stays" ADD COLUMN "came" TEXT;

ALTER TABLE "stays" ADD COLUMN "released_to" TEXT NOT NULL DEFAULT '';

ALTER TABLE "stays" ADD COLUMN "was_in" TEXT NOT NULL DEFAULT '';

CREATE TABLE "ticks" (
  "stay" TEXT NOT NULL,
  "line" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "who" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("stay", "line")
) STRICT;

CREATE TABLE "transfers" (
  "id" INTEGER NOT NULL,
  "act" INTEGER,
  "group" TEXT NOT NULL,
  "to_group" TEXT NOT NULL,
  "line" TEXT NOT NULL,
  "from_tank" TEXT NOT NULL,
  "to_tank" TEXT NOT NULL,
  "count" INTEGER NOT NULL,
  "how" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "at" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("id")
) STRICT;

CREATE TABLE "contacts" (
  "id" INTEGER NOT NULL,
  "act" INTEGER,
  "from_tank" TEXT NOT NULL,
  "to_tank" TEXT NOT NULL,
  "by" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "at" TEXT NOT NULL,
  "who" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("id")
) STRICT;

CREATE TABLE "lines" (
  "name" TEXT NOT NULL,
  "celsius_from" REAL,
  "celsius_to" REAL,
  "recipe" TEXT NOT NULL,
  "adult_cm" REAL,
  "weight_a" REAL NOT NULL,
  "weight_b" REAL NOT NULL,
  "linf_cm" REAL,
  "k_per_day" REAL,
  "t0_days" REAL,
  "move_cm" REAL NOT NULL,
  "sale_cm" REAL NOT NULL,
  "litres_per_cm" REAL,
  "floor_cm2_per_pair" REAL,
  "looks_like" TEXT NOT NULL,
  "eats" TEXT NOT NULL,
  "jumps" INTEGER NOT NULL,
  "guard_below_cm" REAL NOT NULL,
  "spawns_again_days" INTEGER,
  "brine_hours" REAL NOT NULL,
  "culture_days" INTEGER NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("name")
) STRICT;

CREATE TABLE "stages" (
  "line" TEXT NOT NULL,
  "stage" TEXT NOT NULL,
  "days" INTEGER NOT NULL,
  "celsius" REAL,
  PRIMARY KEY ("line", "stage")
) STRICT;

CREATE TABLE "broods" (
  "code" TEXT NOT NULL,
  "line" TEXT NOT NULL,
  "parents" TEXT NOT NULL,
  "tank" TEXT NOT NULL,
  "spawned" TEXT NOT NULL,
  "group" TEXT NOT NULL,
  "counted" INTEGER,
  "celsius" REAL,
  "length" TEXT NOT NULL,
  "needed_by" TEXT,
  "closed" TEXT,
  "sold" INTEGER,
  "kept" INTEGER,
  "died" INTEGER,
  "given" INTEGER,
  "reason" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "sightings" (
  "brood" TEXT NOT NULL,
  "stage" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "at" TEXT NOT NULL,
  "count" INTEGER,
  "lost" INTEGER NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("brood", "stage", "day")
) STRICT;

CREATE TABLE "samples" (
  "brood" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "n" INTEGER NOT NULL,
  "smallest_cm" REAL NOT NULL,
  "middle_cm" REAL NOT NULL,
  "largest_cm" REAL NOT NULL,
  "length" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("brood", "day")
) STRICT;

CREATE TABLE "planned_moves" (
  "chain" TEXT NOT NULL,
  "n" INTEGER NOT NULL,
  "group" TEXT NOT NULL,
  "count" INTEGER NOT NULL,
  "from_tank" TEXT NOT NULL,
  "to_tank" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "state" TEXT NOT NULL,
  "why" TEXT NOT NULL,
  "done_on" TEXT,
  "counted_in" INTEGER,
  PRIMARY KEY ("chain", "n")
) STRICT;

CREATE TABLE "rededications" (
  "code" TEXT NOT NULL,
  "tank" TEXT NOT NULL,
  "began" TEXT NOT NULL,
  "change_day" TEXT NOT NULL,
  "to_tank" TEXT NOT NULL,
  "for_line" TEXT NOT NULL,
  "litres" REAL,
  "ended" TEXT,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "gates" (
  "rededication" TEXT NOT NULL,
  "step" INTEGER NOT NULL,
  "at" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("rededication", "step")
) STRICT;

CREATE TABLE "pins" (
  "job" TEXT NOT NULL,
  "target" TEXT NOT NULL,
  "slot" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  PRIMARY KEY ("job", "target")
) STRICT;

ALTER TABLE "people" ADD COLUMN "phone" TEXT NOT NULL DEFAULT '';

CREATE TABLE "messages" (
  "code" TEXT NOT NULL,
  "target" TEXT NOT NULL,
  "text" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "troubles" (
  "code" TEXT NOT NULL,
  "sort" TEXT NOT NULL,
  "target" TEXT NOT NULL,
  "began" TEXT NOT NULL,
  "ended" TEXT,
  "note" TEXT NOT NULL,
  PRIMARY KEY ("code")
) STRICT;

CREATE TABLE "calendar_entries" (
  "uid" TEXT NOT NULL,
  "sequence" INTEGER NOT NULL,
  "stamp" TEXT NOT NULL,
  "day" TEXT NOT NULL,
  "text" TEXT NOT NULL,
  PRIMARY KEY ("uid")
) STRICT;

CREATE TABLE "stamp" (
  "one" INTEGER NOT NULL DEFAULT 1 PRIMARY KEY CHECK ("one" = 1),
  "stamp" TEXT NOT NULL
) STRICT;

INSERT INTO "stamp" ("stamp")
VALUES ('stamp-' || lower(hex(randomblob(16))) || '-000000000000');
