/**
 * How a command line of this package begins, in whatever is printed for somebody to type. A script of package.json:
 * it runs what is here, and cannot fetch a package of that name from anywhere.
 */
export const COMMAND = 'npm run -s quaybook --'
