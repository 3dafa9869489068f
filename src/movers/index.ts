export { type Asked, FORM_COLUMNS, type MoverAnswer, type OfferedPrice, readAnswer } from './answers.js'
export { askedOf, billOf, wantedServices } from './bill.js'
export {
  type Bill,
  type BillLine,
  type Comparison,
  compareMovers,
  type Offer,
  type WeightRange,
} from './compare.js'
export { ANSWERS_FOLDER, openAnswers, openComparison, openRules } from './open.js'
export { answersOf, type Question, type Rules, readRules, scoreOf } from './questions.js'
export { moversSections } from './section.js'
export { moversParagraph } from './words.js'
