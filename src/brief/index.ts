export type { Block, Figure, Inline, PaperData, Section, TableCell, TableRow, Text } from '../paper/blocks.js'
export { shownFigure } from '../paper/figure-text.js'
export { type PaperAssets, paperHtml } from '../paper/html.js'
export { ANNEXES as annexNames, type AnnexId, chosenAnnexes } from './annexes.js'
export { type BriefExtras, briefData } from './data.js'
export { type Deadline, type MoveDates, moveDates } from './dates.js'
export {
  answerForm,
  ENQUIRY_FORMS,
  type EnquiryForm,
  type EnquiryTerms,
  enquiryData,
  planInForm,
} from './enquiry.js'
export { briefJson } from './json.js'
export { type BriefPapers, briefPapers, type PaperChoices } from './paper.js'
export type { CustomsBrief } from './sections/customs.js'
export { readSender, SENDER_FACTS } from './sender.js'
export {
  type BriefFiles,
  type BriefOptions,
  briefFiles,
  briefPictures,
  enquiryFiles,
  senderOf,
  writeBrief,
} from './write.js'
