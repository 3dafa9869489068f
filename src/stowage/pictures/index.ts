export { covers, type Faces, faces, type Point, paintOrder, project } from './isometric.js'
export { overviewPicture } from './overview.js'
export { type PictureOptions, type PieceNames, type StagePicture, stagePictures } from './stage-picture.js'
