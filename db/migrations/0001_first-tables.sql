CREATE TABLE "api_key" (
	"shop_id" uuid NOT NULL,
	"key_id" text NOT NULL,
	"role" text NOT NULL,
	"label" text NOT NULL,
	"secret_hash" "bytea" NOT NULL,
	"created_at" timestamp with time zone DEFAULT now() NOT NULL,
	"revoked_at" timestamp with time zone,
	CONSTRAINT "api_key_shop_id_key_id_pk" PRIMARY KEY("shop_id","key_id"),
	CONSTRAINT "api_key_role" CHECK ("api_key"."role" in ('technician', 'desk', 'owner')),
	CONSTRAINT "api_key_hash_is_sha256" CHECK (octet_length("api_key"."secret_hash") = 32)
);
--> statement-breakpoint
ALTER TABLE "api_key" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "estimate" (
	"shop_id" uuid NOT NULL,
	"estimate_id" uuid NOT NULL,
	"made_at" timestamp with time zone DEFAULT now() NOT NULL,
	"fit_id" uuid,
	"request" json NOT NULL,
	"answer" json NOT NULL,
	CONSTRAINT "estimate_shop_id_estimate_id_pk" PRIMARY KEY("shop_id","estimate_id")
);
--> statement-breakpoint
ALTER TABLE "estimate" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "fit" (
	"shop_id" uuid NOT NULL,
	"fit_id" uuid NOT NULL,
	"data_state" text NOT NULL,
	"started_at" timestamp with time zone NOT NULL,
	"finished_at" timestamp with time zone NOT NULL,
	"status" text NOT NULL,
	"reason" text,
	"n_jobs" integer NOT NULL,
	"summary" jsonb NOT NULL,
	"scores" jsonb,
	"posterior" text,
	CONSTRAINT "fit_shop_id_fit_id_pk" PRIMARY KEY("shop_id","fit_id"),
	CONSTRAINT "fit_status" CHECK ("fit"."status" in ('published', 'superseded', 'refused', 'failed', 'withdrawn')),
	CONSTRAINT "fit_published_has_posterior" CHECK ("fit"."status" <> 'published' or "fit"."posterior" is not null)
);
--> statement-breakpoint
ALTER TABLE "fit" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "job" (
	"shop_id" uuid NOT NULL,
	"ref" text NOT NULL,
	"version" integer NOT NULL,
	"finished_at" timestamp with time zone NOT NULL,
	"record" jsonb NOT NULL,
	"digest" "bytea" NOT NULL,
	"received_at" timestamp with time zone DEFAULT now() NOT NULL,
	CONSTRAINT "job_shop_id_ref_pk" PRIMARY KEY("shop_id","ref"),
	CONSTRAINT "job_version_positive" CHECK ("job"."version" >= 1),
	CONSTRAINT "job_digest_is_sha256" CHECK (octet_length("job"."digest") = 32)
);
--> statement-breakpoint
ALTER TABLE "job" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "job_version" (
	"shop_id" uuid NOT NULL,
	"ref" text NOT NULL,
	"version" integer NOT NULL,
	"record" jsonb NOT NULL,
	"digest" "bytea" NOT NULL,
	"replaced_at" timestamp with time zone DEFAULT now() NOT NULL,
	"reason" text NOT NULL,
	CONSTRAINT "job_version_shop_id_ref_version_pk" PRIMARY KEY("shop_id","ref","version"),
	CONSTRAINT "job_version_version_positive" CHECK ("job_version"."version" >= 1),
	CONSTRAINT "job_version_reason" CHECK ("job_version"."reason" in ('replaced', 'deleted', 'check', 'comeback'))
);
--> statement-breakpoint
ALTER TABLE "job_version" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "machine" (
	"shop_id" uuid NOT NULL,
	"key" text NOT NULL,
	"name" text NOT NULL,
	"kind" text NOT NULL,
	"grade" text NOT NULL,
	"water_lift_kpa" double precision,
	"airflow_m3h" double precision,
	"heated" boolean,
	"price" double precision,
	"active_from" date,
	"active_until" date,
	CONSTRAINT "machine_shop_id_key_pk" PRIMARY KEY("shop_id","key"),
	CONSTRAINT "machine_kind" CHECK ("machine"."kind" in ('extractor')),
	CONSTRAINT "machine_grade" CHECK ("machine"."grade" in ('entry', 'standard', 'high'))
);
--> statement-breakpoint
ALTER TABLE "machine" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "nightly_run" (
	"shop_id" uuid NOT NULL,
	"night" date NOT NULL,
	"data_state" text,
	"status" text NOT NULL,
	"attempts" integer DEFAULT 1 NOT NULL,
	"started_at" timestamp with time zone DEFAULT now() NOT NULL,
	"finished_at" timestamp with time zone,
	"error" text,
	CONSTRAINT "nightly_run_shop_id_night_pk" PRIMARY KEY("shop_id","night"),
	CONSTRAINT "nightly_run_status" CHECK ("nightly_run"."status" in ('running', 'published', 'unchanged', 'refused', 'failed'))
);
--> statement-breakpoint
ALTER TABLE "nightly_run" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "shop" (
	"shop_id" uuid PRIMARY KEY NOT NULL,
	"name" text NOT NULL,
	"time_zone" text NOT NULL,
	"settings" jsonb DEFAULT '{}'::jsonb NOT NULL,
	"invented" boolean DEFAULT false NOT NULL,
	"created_at" timestamp with time zone DEFAULT now() NOT NULL,
	CONSTRAINT "shop_name_not_empty" CHECK (length("shop"."name") between 1 and 120)
);
--> statement-breakpoint
ALTER TABLE "shop" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "technician" (
	"shop_id" uuid NOT NULL,
	"key" text NOT NULL,
	"name" text NOT NULL,
	"active_from" date,
	"active_until" date,
	CONSTRAINT "technician_shop_id_key_pk" PRIMARY KEY("shop_id","key")
);
--> statement-breakpoint
ALTER TABLE "technician" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
ALTER TABLE "api_key" ADD CONSTRAINT "api_key_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "estimate" ADD CONSTRAINT "estimate_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "estimate" ADD CONSTRAINT "estimate_by_fit" FOREIGN KEY ("shop_id","fit_id") REFERENCES "public"."fit"("shop_id","fit_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "fit" ADD CONSTRAINT "fit_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "job" ADD CONSTRAINT "job_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "job_version" ADD CONSTRAINT "job_version_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "machine" ADD CONSTRAINT "machine_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "nightly_run" ADD CONSTRAINT "nightly_run_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "technician" ADD CONSTRAINT "technician_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "estimate_by_time" ON "estimate" USING btree ("shop_id","made_at");--> statement-breakpoint
CREATE INDEX "fit_by_start" ON "fit" USING btree ("shop_id","started_at");--> statement-breakpoint
CREATE UNIQUE INDEX "fit_one_published" ON "fit" USING btree ("shop_id") WHERE "fit"."status" = 'published';--> statement-breakpoint
CREATE INDEX "job_by_finish" ON "job" USING btree ("shop_id","finished_at","ref");--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "api_key" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "api_key" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "estimate" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "estimate" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "fit" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "fit" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "job" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "job" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "job_version" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "job_version" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "machine" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "machine" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "nightly_run" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "nightly_run" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "shop" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "shop" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "technician" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "technician" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');