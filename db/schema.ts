/**
 * Every table of the program. Each carries the shop first in its primary key, and every index and foreign key begins
 * with it, so that a distributed PostgreSQL could shard by shop. Row-level security shows a transaction the rows of
 * the one shop that it named (`inShop`), and none where it named none.
 */
import { sql } from 'drizzle-orm';
import type { AnyPgColumn } from 'drizzle-orm/pg-core';
import {
  boolean,
  check,
  date,
  doublePrecision,
  foreignKey,
  index,
  integer,
  json,
  jsonb,
  pgPolicy,
  pgRole,
  pgTable,
  primaryKey,
  text,
  timestamp,
  uniqueIndex,
  uuid,
} from 'drizzle-orm/pg-core';
import { bytes } from './bytes.ts';

export const fitStatuses = ['published', 'superseded', 'refused', 'failed', 'withdrawn'] as const;
export const nightStatuses = ['running', 'published', 'unchanged', 'refused', 'failed'] as const;
export const versionReasons = ['replaced', 'deleted', 'check', 'comeback'] as const;
export const linkPurposes = ['set-password', 'sign-in'] as const;
export const importStates = ['waiting', 'taking', 'done'] as const;
const keyRoles = ['technician', 'desk', 'owner'] as const;
const machineKinds = ['extractor'] as const;
const machineGrades = ['entry', 'standard', 'high'] as const;

/** The role the program works under: owns nothing, bypasses nothing. Roles are the cluster's, so a migration makes it. */
export const programRole = pgRole('secondpass_app').existing();

const instant = (name: string) => timestamp(name, { withTimezone: true });
const shopId = () => uuid('shop_id').notNull();

const oneOf = (name: string, column: AnyPgColumn, allowed: readonly string[]) =>
  check(name, sql`${column} in (${sql.raw(allowed.map((value) => `'${value}'`).join(', '))})`);

/** The owner sees rows only after saying so, which the program's role cannot: its policy is not for that role. */
const shopPolicies = () => {
  const own = sql`shop_id = nullif(current_setting('app.shop_id', true), '')::uuid`;
  const every = sql`current_setting('app.every_shop', true) = 'on'`;
  return [
    pgPolicy('shop_sees_its_own', { to: programRole, using: own, withCheck: own }),
    pgPolicy('owner_sees_every_shop', { to: 'current_user', using: every, withCheck: every }),
  ];
};

export const shop = pgTable(
  'shop',
  {
    shopId: uuid('shop_id').primaryKey(),
    name: text('name').notNull(),
    timeZone: text('time_zone').notNull(),
    settings: jsonb('settings').notNull().default({}),
    invented: boolean('invented').notNull().default(false),
    createdAt: instant('created_at').notNull().defaultNow(),
  },
  (t) => [check('shop_name_not_empty', sql`length(${t.name}) between 1 and 120`), ...shopPolicies()],
);

const ofShop = (name: string, column: AnyPgColumn) =>
  foreignKey({ name, columns: [column], foreignColumns: [shop.shopId] });

export const apiKey = pgTable(
  'api_key',
  {
    shopId: shopId(),
    keyId: text('key_id').notNull(),
    role: text('role', { enum: keyRoles }).notNull(),
    label: text('label').notNull(),
    secretHash: bytes('secret_hash').notNull(),
    createdAt: instant('created_at').notNull().defaultNow(),
    revokedAt: instant('revoked_at'),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.keyId] }),
    ofShop('api_key_of_shop', t.shopId),
    oneOf('api_key_role', t.role, keyRoles),
    check('api_key_hash_is_sha256', sql`octet_length(${t.secretHash}) = 32`),
    ...shopPolicies(),
  ],
);

export const technician = pgTable(
  'technician',
  {
    shopId: shopId(),
    key: text('key').notNull(),
    name: text('name').notNull(),
    activeFrom: date('active_from'),
    activeUntil: date('active_until'),
  },
  (t) => [primaryKey({ columns: [t.shopId, t.key] }), ofShop('technician_of_shop', t.shopId), ...shopPolicies()],
);

export const machine = pgTable(
  'machine',
  {
    shopId: shopId(),
    key: text('key').notNull(),
    name: text('name').notNull(),
    kind: text('kind', { enum: machineKinds }).notNull(),
    grade: text('grade', { enum: machineGrades }).notNull(),
    waterLiftKpa: doublePrecision('water_lift_kpa'),
    airflowM3h: doublePrecision('airflow_m3h'),
    heated: boolean('heated'),
    price: doublePrecision('price'),
    activeFrom: date('active_from'),
    activeUntil: date('active_until'),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.key] }),
    ofShop('machine_of_shop', t.shopId),
    oneOf('machine_kind', t.kind, machineKinds),
    oneOf('machine_grade', t.grade, machineGrades),
    ...shopPolicies(),
  ],
);

/** A finished job as one document: it is whole or absent, never half-written. */
export const job = pgTable(
  'job',
  {
    shopId: shopId(),
    ref: text('ref').notNull(),
    version: integer('version').notNull(),
    finishedAt: instant('finished_at').notNull(),
    record: jsonb('record').notNull(),
    digest: bytes('digest').notNull(),
    receivedAt: instant('received_at').notNull().defaultNow(),
    /** A column of its own: row-level security lets no index on an expression within the document be used. */
    quotedEstimate: text('quoted_estimate').generatedAlwaysAs(sql`record #>> '{quoted,estimate}'`),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.ref] }),
    ofShop('job_of_shop', t.shopId),
    index('job_by_finish').on(t.shopId, t.finishedAt, t.ref),
    index('job_by_estimate').on(t.shopId, t.quotedEstimate).where(sql`${t.quotedEstimate} is not null`),
    check('job_version_positive', sql`${t.version} >= 1`),
    check('job_digest_is_sha256', sql`octet_length(${t.digest}) = 32`),
    ...shopPolicies(),
  ],
);

/** What a job said before it was replaced, followed up or deleted. It outlives the job, hence no foreign key to it. */
export const jobVersion = pgTable(
  'job_version',
  {
    shopId: shopId(),
    ref: text('ref').notNull(),
    version: integer('version').notNull(),
    record: jsonb('record').notNull(),
    digest: bytes('digest').notNull(),
    replacedAt: instant('replaced_at').notNull().defaultNow(),
    reason: text('reason', { enum: versionReasons }).notNull(),
    /** The id of the person or the key; null where it was not kept. */
    changedBy: text('changed_by'),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.ref, t.version] }),
    ofShop('job_version_of_shop', t.shopId),
    check('job_version_version_positive', sql`${t.version} >= 1`),
    oneOf('job_version_reason', t.reason, versionReasons),
    ...shopPolicies(),
  ],
);

/** Somebody looked at a doubtful job and says that it was so: it is read from then on, until it is replaced or deleted. */
export const jobConfirmation = pgTable(
  'job_confirmation',
  {
    shopId: shopId(),
    ref: text('ref').notNull(),
    version: integer('version').notNull(),
    keyId: text('key_id').notNull(),
    confirmedAt: instant('confirmed_at').notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.ref, t.version] }),
    ofShop('job_confirmation_of_shop', t.shopId),
    check('job_confirmation_version_positive', sql`${t.version} >= 1`),
    ...shopPolicies(),
  ],
);

export const fit = pgTable(
  'fit',
  {
    shopId: shopId(),
    fitId: uuid('fit_id').notNull(),
    dataState: text('data_state').notNull(),
    startedAt: instant('started_at').notNull(),
    finishedAt: instant('finished_at').notNull(),
    status: text('status', { enum: fitStatuses }).notNull(),
    reason: text('reason'),
    nJobs: integer('n_jobs').notNull(),
    summary: jsonb('summary').notNull(),
    scores: jsonb('scores'),
    posterior: text('posterior'),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.fitId] }),
    ofShop('fit_of_shop', t.shopId),
    index('fit_by_start').on(t.shopId, t.startedAt),
    uniqueIndex('fit_one_published').on(t.shopId).where(sql`${t.status} = 'published'`),
    oneOf('fit_status', t.status, fitStatuses),
    check('fit_published_has_posterior', sql`${t.status} <> 'published' or ${t.posterior} is not null`),
    ...shopPolicies(),
  ],
);

/** Request and answer as `json`, not `jsonb`: an estimate is read back word for word. */
export const estimate = pgTable(
  'estimate',
  {
    shopId: shopId(),
    estimateId: uuid('estimate_id').notNull(),
    madeAt: instant('made_at').notNull().defaultNow(),
    fitId: uuid('fit_id'),
    request: json('request').notNull(),
    answer: json('answer').notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.estimateId] }),
    ofShop('estimate_of_shop', t.shopId),
    foreignKey({ name: 'estimate_by_fit', columns: [t.shopId, t.fitId], foreignColumns: [fit.shopId, fit.fitId] }),
    index('estimate_by_time').on(t.shopId, t.madeAt),
    ...shopPolicies(),
  ],
);

/** One row a shop and night: whichever worker inserts it first does the work. */
export const nightlyRun = pgTable(
  'nightly_run',
  {
    shopId: shopId(),
    night: date('night').notNull(),
    dataState: text('data_state'),
    status: text('status', { enum: nightStatuses }).notNull(),
    attempts: integer('attempts').notNull().default(1),
    startedAt: instant('started_at').notNull().defaultNow(),
    finishedAt: instant('finished_at'),
    error: text('error'),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.night] }),
    ofShop('nightly_run_of_shop', t.shopId),
    oneOf('nightly_run_status', t.status, nightStatuses),
    ...shopPolicies(),
  ],
);

/** Who signs in to the pages. A password is there once the person has chosen one; whoever has left stays, for history. */
export const person = pgTable(
  'person',
  {
    shopId: shopId(),
    personId: uuid('person_id').notNull(),
    name: text('name').notNull(),
    signInName: text('sign_in_name').notNull(),
    role: text('role', { enum: keyRoles }).notNull(),
    technician: text('technician'),
    passwordHash: text('password_hash'),
    createdAt: instant('created_at').notNull().defaultNow(),
    leftAt: instant('left_at'),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.personId] }),
    ofShop('person_of_shop', t.shopId),
    foreignKey({
      name: 'person_is_technician',
      columns: [t.shopId, t.technician],
      foreignColumns: [technician.shopId, technician.key],
    }),
    uniqueIndex('person_sign_in_name').on(t.shopId, t.signInName),
    oneOf('person_role', t.role, keyRoles),
    check('person_name_not_empty', sql`length(${t.name}) between 1 and 120`),
    check('person_sign_in_name_lower', sql`${t.signInName} = lower(${t.signInName})`),
    ...shopPolicies(),
  ],
);

const ofPerson = (name: string, ...columns: [AnyPgColumn, AnyPgColumn]) =>
  foreignKey({ name, columns, foreignColumns: [person.shopId, person.personId] });

/** One signed-in device. Ending it deletes the row: what is not here lets nobody in. */
export const session = pgTable(
  'session',
  {
    shopId: shopId(),
    sessionId: text('session_id').notNull(),
    personId: uuid('person_id').notNull(),
    secretHash: bytes('secret_hash').notNull(),
    device: text('device').notNull(),
    begunAt: instant('begun_at').notNull(),
    seenAt: instant('seen_at').notNull(),
    endsAt: instant('ends_at').notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.sessionId] }),
    ofShop('session_of_shop', t.shopId),
    ofPerson('session_of_person', t.shopId, t.personId),
    index('session_by_person').on(t.shopId, t.personId),
    check('session_hash_is_sha256', sql`octet_length(${t.secretHash}) = 32`),
    ...shopPolicies(),
  ],
);

/** A link that lets one person in once, to choose a password or to sign in. Using it deletes the row. */
export const entryLink = pgTable(
  'entry_link',
  {
    shopId: shopId(),
    linkId: text('link_id').notNull(),
    personId: uuid('person_id').notNull(),
    purpose: text('purpose', { enum: linkPurposes }).notNull(),
    secretHash: bytes('secret_hash').notNull(),
    madeAt: instant('made_at').notNull(),
    endsAt: instant('ends_at').notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.linkId] }),
    ofShop('entry_link_of_shop', t.shopId),
    ofPerson('entry_link_of_person', t.shopId, t.personId),
    index('entry_link_by_person').on(t.shopId, t.personId),
    oneOf('entry_link_purpose', t.purpose, linkPurposes),
    check('entry_link_hash_is_sha256', sql`octet_length(${t.secretHash}) = 32`),
    ...shopPolicies(),
  ],
);

/** A spreadsheet that somebody is taking in: what is in it, how it is to be read, how far it is. Gone after a day. */
export const importFile = pgTable(
  'import_file',
  {
    shopId: shopId(),
    importId: uuid('import_id').notNull(),
    fileName: text('file_name').notNull(),
    sentAt: instant('sent_at').notNull(),
    profile: jsonb('profile').notNull(),
    mapping: jsonb('mapping').notNull(),
    state: text('state', { enum: importStates }).notNull().default('waiting'),
    lineReached: integer('line_reached').notNull().default(0),
    reachedAt: instant('reached_at'),
    report: jsonb('report'),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.importId] }),
    ofShop('import_file_of_shop', t.shopId),
    oneOf('import_file_state', t.state, importStates),
    ...shopPolicies(),
  ],
);

/** The bytes of such a file, piece by piece, for as long as they may still be read. */
export const importPiece = pgTable(
  'import_piece',
  {
    shopId: shopId(),
    importId: uuid('import_id').notNull(),
    place: integer('place').notNull(),
    content: bytes('content').notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.shopId, t.importId, t.place] }),
    ofShop('import_piece_of_shop', t.shopId),
    foreignKey({
      name: 'import_piece_of_file',
      columns: [t.shopId, t.importId],
      foreignColumns: [importFile.shopId, importFile.importId],
    }),
    ...shopPolicies(),
  ],
);
