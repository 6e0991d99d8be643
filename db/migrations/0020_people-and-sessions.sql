CREATE TABLE "entry_link" (
	"shop_id" uuid NOT NULL,
	"link_id" text NOT NULL,
	"person_id" uuid NOT NULL,
	"purpose" text NOT NULL,
	"secret_hash" "bytea" NOT NULL,
	"made_at" timestamp with time zone NOT NULL,
	"ends_at" timestamp with time zone NOT NULL,
	CONSTRAINT "entry_link_shop_id_link_id_pk" PRIMARY KEY("shop_id","link_id"),
	CONSTRAINT "entry_link_purpose" CHECK ("entry_link"."purpose" in ('set-password', 'sign-in')),
	CONSTRAINT "entry_link_hash_is_sha256" CHECK (octet_length("entry_link"."secret_hash") = 32)
);
--> statement-breakpoint
ALTER TABLE "entry_link" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "person" (
	"shop_id" uuid NOT NULL,
	"person_id" uuid NOT NULL,
	"name" text NOT NULL,
	"sign_in_name" text NOT NULL,
	"role" text NOT NULL,
	"technician" text,
	"password_hash" text,
	"created_at" timestamp with time zone DEFAULT now() NOT NULL,
	"left_at" timestamp with time zone,
	CONSTRAINT "person_shop_id_person_id_pk" PRIMARY KEY("shop_id","person_id"),
	CONSTRAINT "person_role" CHECK ("person"."role" in ('technician', 'desk', 'owner')),
	CONSTRAINT "person_name_not_empty" CHECK (length("person"."name") between 1 and 120),
	CONSTRAINT "person_sign_in_name_lower" CHECK ("person"."sign_in_name" = lower("person"."sign_in_name"))
);
--> statement-breakpoint
ALTER TABLE "person" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "session" (
	"shop_id" uuid NOT NULL,
	"session_id" text NOT NULL,
	"person_id" uuid NOT NULL,
	"secret_hash" "bytea" NOT NULL,
	"device" text NOT NULL,
	"begun_at" timestamp with time zone NOT NULL,
	"seen_at" timestamp with time zone NOT NULL,
	"ends_at" timestamp with time zone NOT NULL,
	CONSTRAINT "session_shop_id_session_id_pk" PRIMARY KEY("shop_id","session_id"),
	CONSTRAINT "session_hash_is_sha256" CHECK (octet_length("session"."secret_hash") = 32)
);
--> statement-breakpoint
ALTER TABLE "session" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
ALTER TABLE "entry_link" ADD CONSTRAINT "entry_link_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "entry_link" ADD CONSTRAINT "entry_link_of_person" FOREIGN KEY ("shop_id","person_id") REFERENCES "public"."person"("shop_id","person_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "person" ADD CONSTRAINT "person_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "person" ADD CONSTRAINT "person_is_technician" FOREIGN KEY ("shop_id","technician") REFERENCES "public"."technician"("shop_id","key") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "session" ADD CONSTRAINT "session_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "session" ADD CONSTRAINT "session_of_person" FOREIGN KEY ("shop_id","person_id") REFERENCES "public"."person"("shop_id","person_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "entry_link_by_person" ON "entry_link" USING btree ("shop_id","person_id");--> statement-breakpoint
CREATE UNIQUE INDEX "person_sign_in_name" ON "person" USING btree ("shop_id","sign_in_name");--> statement-breakpoint
CREATE INDEX "session_by_person" ON "session" USING btree ("shop_id","person_id");--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "entry_link" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "entry_link" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "person" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "person" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "session" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "session" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
alter table person force row level security;--> statement-breakpoint
alter table session force row level security;--> statement-breakpoint
alter table entry_link force row level security;--> statement-breakpoint
grant select, insert, update, delete on person, session, entry_link to secondpass_app;
