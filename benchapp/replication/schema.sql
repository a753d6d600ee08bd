-- What the workshop's server holds: the chain of each bench, and nothing that could not be made again from the benches.
-- May be run again at any time: it puts back whatever of tables, rights and guards is missing.

create schema if not exists workshop;
create table if not exists workshop.version (version integer primary key, workshop text collate "C" not null);
insert into workshop.version select 1, gen_random_uuid()::text where not exists (select from workshop.version);

-- One row a bench. Its chain begins at "first", behind "prev": 1 and 64 zeros, or where the bench it replaces ended.
create table if not exists workshop.bench (
  bench text collate "C" primary key check (bench ~ '^[a-z][a-z0-9_]{0,30}$'),
  short text collate "C" not null unique check (short ~ '^[A-Z][A-Z0-9]{0,2}$'),
  first bigint not null check (first >= 1),
  prev text collate "C" not null check (prev ~ '^[0-9a-f]{64}$'),
  replaces text collate "C" references workshop.bench
);
create table if not exists workshop.event (
  bench text collate "C" not null,
  seq bigint not null,
  text text collate "C" not null,
  prev text collate "C" not null,
  hash text collate "C" not null,
  primary key (bench, seq),
  check (hash = encode(sha256(convert_to(prev || chr(10) || text, 'UTF8')), 'hex'))
);
-- How far each bench says its own chain has come, and when it said so last.
create table if not exists workshop.announced (
  bench text collate "C" primary key,
  seq bigint not null,
  at timestamptz not null
);

-- A chain has no gap, and each event follows the one before, whoever inserts.
create or replace function workshop.follows() returns trigger language plpgsql
set search_path = pg_catalog, pg_temp as $$
declare
  wrong record;
begin
  select f.bench, f.seq into wrong
  from fresh f left join workshop.bench b on b.bench = f.bench
  where f.seq < coalesce(b.first, f.seq + 1)
     or f.prev is distinct from case when f.seq = b.first then b.prev else
          (select e.hash from workshop.event e where e.bench = f.bench and e.seq = f.seq - 1) end
  order by f.bench, f.seq limit 1;
  if found then
    raise exception 'event % of % does not follow the one before it', wrong.seq, wrong.bench using errcode = 'BN001';
  end if;
  perform pg_notify('workshop_event', '');
  return null;
end $$;
create or replace trigger follows after insert on workshop.event
  referencing new table as fresh for each statement execute function workshop.follows();
alter table workshop.event enable always trigger follows;

-- In good faith not even the owner alters it. (Who owns a server can do anything: that is what the benches' seals show.)
create or replace function workshop.never() returns trigger language plpgsql
set search_path = pg_catalog, pg_temp as $$
begin
  raise exception 'events are only ever added' using errcode = '42501';
end $$;
create or replace trigger never before update or delete or truncate on workshop.event
  for each statement execute function workshop.never();
alter table workshop.event enable always trigger never;

-- What a bench may: read everything, add to its own chain, say how far it is.
do $$ begin
  if not exists (select from pg_roles where rolname = 'benchapp_bench') then create role benchapp_bench nologin; end if;
end $$;
revoke all on schema workshop from public;
revoke all on all tables in schema workshop from public, benchapp_bench;
revoke all on all functions in schema workshop from public;
grant usage on schema workshop to benchapp_bench;
grant select on all tables in schema workshop to benchapp_bench;
grant insert on workshop.event to benchapp_bench;
grant insert, update on workshop.announced to benchapp_bench;
alter table workshop.event enable row level security;
alter table workshop.announced enable row level security;
drop policy if exists readable on workshop.event;
create policy readable on workshop.event for select using (true);
drop policy if exists own on workshop.event;
create policy own on workshop.event for insert with check (bench = session_user::text);
drop policy if exists readable on workshop.announced;
create policy readable on workshop.announced for select using (true);
drop policy if exists own on workshop.announced;
create policy own on workshop.announced for insert with check (bench = session_user::text);
drop policy if exists own_again on workshop.announced;
create policy own_again on workshop.announced for update using (bench = session_user::text);
do $$ begin
  execute format('revoke temporary, create on database %I from public', current_database());
end $$;
