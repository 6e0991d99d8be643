/** All that the rest of the program does with finished jobs: one door to the files beside this one. */
export {
  type Change,
  type Changed,
  type ChangeResult,
  deleteRecord,
  type Expected,
  followUp,
  replaceRecord,
  type Why,
} from './records-change.ts';
export { etagOf, type RecordRow, rowOf, type StoredRecord } from './records-form.ts';
export { insertRecords, type Outcome } from './records-insert.ts';
export {
  countRecords,
  type FormerVersion,
  type LocalDay,
  listVersions,
  type PagePlace,
  type RecordFilter,
  type RecordPage,
  readRecord,
  readRecordPage,
  readVersion,
  readVersions,
} from './records-query.ts';
export { openStage, type StagedResult, stage, storeStaged } from './records-staged.ts';
