-- Forced: the tables' owner sees no rows either, unless he says so (app.every_shop) or is a superuser.
alter table shop force row level security;--> statement-breakpoint
alter table api_key force row level security;--> statement-breakpoint
alter table technician force row level security;--> statement-breakpoint
alter table machine force row level security;--> statement-breakpoint
alter table job force row level security;--> statement-breakpoint
alter table job_version force row level security;--> statement-breakpoint
alter table fit force row level security;--> statement-breakpoint
alter table estimate force row level security;--> statement-breakpoint
alter table nightly_run force row level security;--> statement-breakpoint
grant usage on schema public to secondpass_app;--> statement-breakpoint
grant select, insert, update, delete on shop, api_key, technician, machine, job, fit, nightly_run to secondpass_app;--> statement-breakpoint
-- What was said once is never said differently later: former versions and estimates are added and read, no more.
grant select, insert on job_version, estimate to secondpass_app;--> statement-breakpoint
-- The one question across shops that the program may ask: whose night is it? It tells nothing else of a shop.
-- (An owner who is no superuser may not write app.every_shop into the function's own SET clause.)
create function shops_for_nightly() returns table (shop_id uuid, time_zone text)
language plpgsql security definer
set search_path = ''
as $$
begin
  perform set_config('app.every_shop', 'on', true);
  return query select s.shop_id, s.time_zone from public.shop s order by s.shop_id;
  perform set_config('app.every_shop', '', true);
end
$$;--> statement-breakpoint
revoke all on function shops_for_nightly() from public;--> statement-breakpoint
grant execute on function shops_for_nightly() to secondpass_app;
