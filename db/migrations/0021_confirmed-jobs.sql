CREATE TABLE "job_confirmation" (
	"shop_id" uuid NOT NULL,
	"ref" text NOT NULL,
	"version" integer NOT NULL,
	"key_id" text NOT NULL,
	"confirmed_at" timestamp with time zone NOT NULL,
	CONSTRAINT "job_confirmation_shop_id_ref_version_pk" PRIMARY KEY("shop_id","ref","version"),
	CONSTRAINT "job_confirmation_version_positive" CHECK ("job_confirmation"."version" >= 1)
);
--> statement-breakpoint
ALTER TABLE "job_confirmation" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
ALTER TABLE "job_confirmation" ADD CONSTRAINT "job_confirmation_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "job_confirmation" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "job_confirmation" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
alter table job_confirmation force row level security;--> statement-breakpoint
grant select, insert on job_confirmation to secondpass_app;
