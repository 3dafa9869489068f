export { covers, type Faces, faces, type Point, paintOrder, project } from './isometric.js'
export { type PieceNames, type StagePicture, stagePictures } from './stage-picture.js'
