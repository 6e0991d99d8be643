-- The role that the program works under. Roles belong to the whole cluster: it may be there already, made for another
-- database or by an administrator, or be made at this moment by someone else.
do $$
begin
  if not exists (select from pg_roles where rolname = 'secondpass_app') then
    begin
      create role secondpass_app nologin nosuperuser nobypassrls nocreatedb nocreaterole;
    exception when duplicate_object or unique_violation then
      raise notice 'role secondpass_app was made by someone else just now';
    end;
  end if;
  if exists (select from pg_roles where rolname = 'secondpass_app' and (rolsuper or rolbypassrls)) then
    raise exception 'role secondpass_app must be neither superuser nor bypassrls';
  end if;
end
$$;
--> statement-breakpoint
-- A superuser may set any role. Any other owner has to be a member, with the right to set it: from PostgreSQL 16 on
-- the maker of a role is its administrator only. One whom an administrator made a member needs nothing more.
do $$
begin
  if not (select rolsuper from pg_roles where rolname = current_user) then
    grant secondpass_app to current_user;
  end if;
exception when insufficient_privilege then
  if not pg_has_role(current_user, 'secondpass_app', 'member') then
    raise exception '% may not become secondpass_app: an administrator has to run: grant secondpass_app to %',
      current_user, quote_ident(current_user);
  end if;
end
$$;
