import { Refusal } from '../../../shared-core/contract/refusal.ts'

export const noFolder = (path: string): Refusal =>
  new Refusal(
    'watched/no-folder',
    `“${path}” is no folder that can be read.`,
    'Connect its card or drive, or choose another folder.',
  )

export const already = (path: string): Refusal =>
  new Refusal(
    'watched/already',
    `“${path}” is watched already, or lies in a folder that is, or has one in it.`,
    'Stop watching that one first.',
  )

export const insideRack = (): Refusal =>
  new Refusal(
    'watched/inside-rack',
    'This folder belongs to a rack: its photos are in one already.',
    'Choose the folder that your camera or phone fills.',
  )

export const tooMany = (most: number): Refusal =>
  new Refusal(
    'watched/too-many',
    `${most} folders are watched, and no more can be.`,
    'Stop watching one, or watch the folder above them.',
  )

/** Those that could not be seen would come in as new ones, one after the other. */
export const notAllSeen = (what: string): Refusal =>
  new Refusal(
    'watched/not-all-seen',
    `${what}, so Overground cannot tell which photos are new.`,
    'Watch the folder that new photos come into instead, or take in those that lie there, too.',
  )

export const absent = (): Refusal =>
  new Refusal('watched/absent', 'This folder is not watched any more.', 'Choose it again to watch it.')
