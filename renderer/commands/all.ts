import { closeRack } from './app/close-rack.ts'
import { copyHere } from './app/copy-here.ts'
import { keepBoth } from './app/keep-both.ts'
import { readAgain } from './app/read-again.ts'
import { redo } from './app/redo.ts'
import { undo } from './app/undo.ts'
import { backUpNow } from './care/back-up-now.ts'
import { copyToSecondPlace } from './care/copy-to-second-place.ts'
import { leaveHistory } from './care/leave-history.ts'
import { lookThrough } from './care/look-through.ts'
import { makeArchive } from './care/make-archive.ts'
import { putPanelBack } from './care/put-panel-back.ts'
import { restorePanel } from './care/restore-panel.ts'
import { showBefore } from './care/show-before.ts'
import { showThen } from './care/show-then.ts'
import { takeIn } from './care/take-in.ts'
import { newerEntry, olderEntry } from './care/walk-history.ts'
import { changeTags } from './chosen/change-tags.ts'
import { chooseAll } from './chosen/choose-all.ts'
import { layChosenSideBySide } from './chosen/lay-side-by-side.ts'
import { letGo } from './chosen/let-go.ts'
import { pinChosen } from './chosen/pin-chosen.ts'
import { printChosenLabels } from './chosen/print-labels.ts'
import { retireChosen } from './chosen/retire-chosen.ts'
import { setGround } from './chosen/set-ground.ts'
import { trashChosen } from './chosen/trash-chosen.ts'
import { useChosenAgain } from './chosen/use-again.ts'
import type { Command } from './command.ts'
import { leaveJob } from './jobs/leave-job.ts'
import { mixForJob } from './jobs/mix-for-job.ts'
import { newJob } from './jobs/new-job.ts'
import { printCheckLabels } from './jobs/print-check-labels.ts'
import { printJobSheet } from './jobs/print-job-sheet.ts'
import { removeJob } from './jobs/remove-job.ts'
import { anotherReference } from './match/another-reference.ts'
import { comparePinned, letGoPins } from './match/compare-pins.ts'
import { considerCandidate } from './match/consider-candidate.ts'
import { jobWithReference } from './match/job-with-reference.ts'
import { mixCandidate } from './match/mix-candidate.ts'
import { choosesOnTable, nearAllOfThem, takeOff } from './match/on-table.ts'
import { openCandidate } from './match/open-candidate.ts'
import { pinCandidate } from './match/pin-candidate.ts'
import { referenceFromInstrument } from './match/reference-from-instrument.ts'
import { setInPlan } from './match/set-in-plan.ts'
import { takeInPhoto } from './match/take-in-photo.ts'
import { loosen, tighten, unhide } from './match/tighten.ts'
import { toNeverSprayed } from './match/to-never-sprayed.ts'
import { backOneByArrow, backOneStep } from './mix/back-one.ts'
import { leaveMix } from './mix/leave-mix.ts'
import { pourAsAsked } from './mix/pour-as-asked.ts'
import { printCard } from './mix/print-card.ts'
import { throwAway } from './mix/throw-away.ts'
import { considerPanel } from './panel/consider-panel.ts'
import { editPanel } from './panel/edit-panel.ts'
import { exportPanelReadings } from './panel/export-readings.ts'
import { findNear } from './panel/find-near.ts'
import { laySteps } from './panel/lay-steps.ts'
import { leavePanel } from './panel/leave-panel.ts'
import { mixThis } from './panel/mix-this.ts'
import { panelHistory } from './panel/panel-history.ts'
import { pinPanel } from './panel/pin-panel.ts'
import { planFromIt } from './panel/plan-from-it.ts'
import { printLabel } from './panel/print-label.ts'
import { printPanelSprayList } from './panel/print-spray-list.ts'
import { readInstrument } from './panel/read-instrument.ts'
import { takeColourOfPanel } from './panel/take-colour.ts'
import { trashPanel } from './panel/trash-panel.ts'
import { addCandy } from './plan/add-candy.ts'
import { chooseGrounds } from './plan/choose-grounds.ts'
import { printSprayList } from './plan/print-spray-list.ts'
import { putOnList } from './plan/put-on-list.ts'
import { sayWhatIsOnShelf } from './plan/say-what-is-on-shelf.ts'
import { addPhotos } from './rack/add-photos.ts'
import { exportReadings } from './rack/export-readings.ts'
import { findByWords } from './rack/find-by-words.ts'
import { findSuspects } from './rack/find-suspects.ts'
import { mapLastGap, mapNextGap, mapPlanGap } from './rack/map-gaps.ts'
import { mapRing } from './rack/map-ring.ts'
import { mapFit, mapZoomIn, mapZoomOut } from './rack/map-zoom.ts'
import { newPanel } from './rack/new-panel.ts'
import { printIndex } from './rack/print-index.ts'
import { safeKeeping } from './rack/safe-keeping.ts'
import { savedSearches } from './rack/saved-searches.ts'
import { showMap } from './rack/show-map.ts'
import { takeNotebook } from './rack/take-notebook.ts'
import { countMaterial } from './shelf/count-material.ts'
import { findMaterial } from './shelf/find-material.ts'
import { leaveMaterial } from './shelf/leave-material.ts'
import { newMaterial } from './shelf/new-material.ts'
import { removeMaterial } from './shelf/remove-material.ts'
import { replaceMaterial } from './shelf/replace-material.ts'
import { againstFirst } from './side/against-first.ts'
import { blink } from './side/blink.ts'
import { fillScreen } from './side/fill-screen.ts'
import { hideNames } from './side/hide-names.ts'
import { holdBlink } from './side/hold-blink.ts'
import { leaveSide } from './side/leave-side.ts'
import { moves } from './side/move-item.ts'
import { openItem } from './side/open-item.ts'
import { otherReading } from './side/other-reading.ts'
import { showOther } from './side/show-other.ts'
import { switchShown } from './side/switch-shown.ts'
import { takeAway } from './side/take-away.ts'
import { turnRow } from './side/turn-row.ts'
import { walks } from './side/walk.ts'
import { anotherPanel } from './tray/another-panel.ts'
import { discardPhoto } from './tray/discard-photo.ts'
import { filePhoto } from './tray/file-photo.ts'
import { fileReady } from './tray/file-ready.ts'
import { findPanel } from './tray/find-panel.ts'
import { fromPhone } from './tray/from-phone.ts'
import { keepAsSetup } from './tray/keep-as-setup.ts'
import { learnSheet } from './tray/learn-sheet.ts'
import { acceptProposal, markAsLast, markWith, removeMark } from './tray/mark.ts'
import { onlyDoubtful } from './tray/only-doubtful.ts'
import { printPhotoSheet } from './tray/print-photo-sheet.ts'
import { keepBoth as keepBothPhotos, keepRetake, lookAgain, takeGuess } from './tray/propose.ts'
import { setAside } from './tray/set-aside.ts'
import { snapCorners } from './tray/snap.ts'
import { turnChart } from './tray/turn-chart.ts'
import { turnSteps } from './tray/turn-steps.ts'
import { redoMarks, undoMarks } from './tray/undo-marks.ts'
import { nextPhoto, previousPhoto } from './tray/walk-pile.ts'
import { watchFolder } from './tray/watch-folder.ts'
import { zoomFit, zoomIn, zoomOut } from './tray/zoom.ts'

const tray: readonly Command[] = [
  fromPhone,
  watchFolder,
  filePhoto,
  setAside,
  discardPhoto,
  nextPhoto,
  previousPhoto,
  acceptProposal,
  markAsLast,
  removeMark,
  ...Object.values(markWith),
  turnChart,
  turnSteps,
  anotherPanel,
  keepAsSetup,
  fileReady,
  onlyDoubtful,
  findPanel,
  lookAgain,
  takeGuess,
  keepRetake,
  keepBothPhotos,
  snapCorners,
  learnSheet,
  printPhotoSheet,
  zoomIn,
  zoomOut,
  zoomFit,
]

const map: readonly Command[] = [mapZoomIn, mapZoomOut, mapFit, mapRing, mapNextGap, mapLastGap, mapPlanGap]

const side: readonly Command[] = [
  ...walks,
  ...Object.values(moves),
  turnRow,
  blink,
  showOther,
  holdBlink,
  againstFirst,
  hideNames,
  switchShown,
  fillScreen,
  openItem,
  otherReading,
  takeAway,
  leaveSide,
]

/** Every command, for keyboard and menus. */
export const commands: readonly Command[] = [
  // marks that are not kept yet are undone before what the rack remembers
  undoMarks,
  redoMarks,
  undo,
  redo,
  closeRack,
  copyHere,
  readAgain,
  keepBoth,
  newPanel,
  printChosenLabels,
  printIndex,
  letGo,
  addPhotos,
  takeNotebook,
  retireChosen,
  layChosenSideBySide,
  useChosenAgain,
  changeTags,
  setGround,
  pinChosen,
  trashChosen,
  chooseAll,
  findByWords,
  findSuspects,
  savedSearches,
  safeKeeping,
  showMap,
  exportReadings,
  ...map,
  printLabel,
  printPanelSprayList,
  editPanel,
  findNear,
  laySteps,
  planFromIt,
  mixThis,
  readInstrument,
  exportPanelReadings,
  trashPanel,
  considerPanel,
  pinPanel,
  takeColourOfPanel,
  panelHistory,
  leavePanel,
  olderEntry,
  newerEntry,
  showBefore,
  showThen,
  putPanelBack,
  restorePanel,
  leaveHistory,
  anotherReference,
  openCandidate,
  pinCandidate,
  comparePinned,
  letGoPins,
  tighten,
  loosen,
  unhide,
  ...choosesOnTable,
  nearAllOfThem,
  takeOff,
  jobWithReference,
  takeInPhoto,
  mixCandidate,
  considerCandidate,
  setInPlan,
  toNeverSprayed,
  referenceFromInstrument,
  newJob,
  mixForJob,
  printJobSheet,
  printCheckLabels,
  removeJob,
  leaveJob,
  pourAsAsked,
  backOneStep,
  backOneByArrow,
  printCard,
  throwAway,
  leaveMix,
  addCandy,
  chooseGrounds,
  putOnList,
  printSprayList,
  sayWhatIsOnShelf,
  newMaterial,
  findMaterial,
  countMaterial,
  replaceMaterial,
  removeMaterial,
  leaveMaterial,
  ...tray,
  ...side,
  backUpNow,
  makeArchive,
  takeIn,
  copyToSecondPlace,
  lookThrough,
]
