export { covers, type Faces, faces, type Point, paintOrder, project } from './isometric.js'
export { overviewPicture } from './overview.js'
export type { PieceNames } from './stage-drawing.js'
export { type PictureOptions, type StagePicture, stagePictures } from './stage-picture.js'
