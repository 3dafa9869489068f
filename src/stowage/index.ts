export * from './packing/index.js'
