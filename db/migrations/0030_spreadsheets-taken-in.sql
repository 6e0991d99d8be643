CREATE TABLE "import_file" (
	"shop_id" uuid NOT NULL,
	"import_id" uuid NOT NULL,
	"file_name" text NOT NULL,
	"sent_at" timestamp with time zone NOT NULL,
	"profile" jsonb NOT NULL,
	"mapping" jsonb NOT NULL,
	"state" text DEFAULT 'waiting' NOT NULL,
	"line_reached" integer DEFAULT 0 NOT NULL,
	"reached_at" timestamp with time zone,
	"report" jsonb,
	CONSTRAINT "import_file_shop_id_import_id_pk" PRIMARY KEY("shop_id","import_id"),
	CONSTRAINT "import_file_state" CHECK ("import_file"."state" in ('waiting', 'taking', 'done'))
);
--> statement-breakpoint
ALTER TABLE "import_file" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE TABLE "import_piece" (
	"shop_id" uuid NOT NULL,
	"import_id" uuid NOT NULL,
	"place" integer NOT NULL,
	"content" "bytea" NOT NULL,
	CONSTRAINT "import_piece_shop_id_import_id_place_pk" PRIMARY KEY("shop_id","import_id","place")
);
--> statement-breakpoint
ALTER TABLE "import_piece" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
ALTER TABLE "import_file" ADD CONSTRAINT "import_file_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "import_piece" ADD CONSTRAINT "import_piece_of_shop" FOREIGN KEY ("shop_id") REFERENCES "public"."shop"("shop_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "import_piece" ADD CONSTRAINT "import_piece_of_file" FOREIGN KEY ("shop_id","import_id") REFERENCES "public"."import_file"("shop_id","import_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "import_file" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "import_file" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
CREATE POLICY "shop_sees_its_own" ON "import_piece" AS PERMISSIVE FOR ALL TO "secondpass_app" USING (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid) WITH CHECK (shop_id = nullif(current_setting('app.shop_id', true), '')::uuid);--> statement-breakpoint
CREATE POLICY "owner_sees_every_shop" ON "import_piece" AS PERMISSIVE FOR ALL TO current_user USING (current_setting('app.every_shop', true) = 'on') WITH CHECK (current_setting('app.every_shop', true) = 'on');--> statement-breakpoint
alter table import_file force row level security;--> statement-breakpoint
alter table import_piece force row level security;--> statement-breakpoint
grant select, insert, update, delete on import_file, import_piece to secondpass_app;
