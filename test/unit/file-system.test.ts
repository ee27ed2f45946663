import { describe, expect, test } from 'vitest'
import { type FileSystemFacts, fileSystemOf } from '../../electron/rack/disk/file-system.ts'

/**
 * Lines in the forms that the systems write, made by hand after their descriptions: proc_pid_mountinfo(5), mount(8) of macOS, the
 * examples of "net use" at Microsoft Learn. Numbers of f_type: Linux, include/uapi/linux/magic.h; SMB2: fs/smb/client/cifsglob.h.
 */
const mountInfo = [
  '22 27 0:21 / /proc rw,relatime - proc proc rw',
  '27 1 254:0 / / rw,relatime shared:1 - ext4 /dev/sda2 rw,errors=remount-ro',
  '40 27 0:44 / /mnt/shop rw,relatime shared:20 master:3 - nfs4 bench:/export/shop rw,vers=4.2,addr=192.0.2.7',
  '41 27 0:45 / /mnt/office rw,relatime shared:21 - cifs //bench/office rw,vers=3.1.1',
  '42 27 0:46 / /media/wren/CARD rw,nosuid,nodev - vfat /dev/sdb1 rw',
  '43 27 0:47 / /media/wren/My\\040Disk rw,nosuid,nodev - fuseblk /dev/sdc1 rw',
  '44 27 0:48 / /home/wren/far rw,nosuid,nodev - fuse.sshfs wren@bench:/racks rw',
  '45 27 0:49 / /home/wren/vault rw,nosuid,nodev - fuse.gocryptfs /home/wren/.vault rw',
  '46 27 0:50 / /home/wren/odd rw,nosuid,nodev - fuse.somethingnew somethingnew rw',
  '47 27 0:51 / /home/wren/odd-far rw,nosuid,nodev - fuse.somethingnew //bench/odd rw',
  '48 27 0:52 / /host rw,relatime - 9p shared rw,trans=virtio',
  '49 40 0:53 / /mnt/shop/scratch rw,relatime - tmpfs tmpfs rw',
].join('\n')

const linux = (path: string, more: Partial<FileSystemFacts> = {}) =>
  fileSystemOf({ platform: 'linux', path, type: null, mounts: mountInfo, ...more })

describe('Linux', () => {
  test.each([
    ['/home/wren/racks/wall', 'here', 'ext4'],
    ['/mnt/shop/racks', 'network', 'nfs4'],
    ['/mnt/shopping/racks', 'here', 'ext4'],
    ['/mnt/shop/scratch/rack', 'here', 'tmpfs'],
    ['/mnt/office', 'network', 'cifs'],
    ['/media/wren/CARD/rack', 'here', 'vfat'],
    ['/media/wren/My Disk/rack', 'here', 'fuseblk'],
    ['/home/wren/far/wall', 'network', 'fuse.sshfs'],
    ['/home/wren/vault/wall', 'here', 'fuse.gocryptfs'],
    ['/home/wren/odd/wall', 'unknown', 'fuse.somethingnew'],
    ['/home/wren/odd-far/wall', 'network', 'fuse.somethingnew'],
    ['/host/rack', 'network', '9p'],
  ])('%s: %s (%s)', (path, where, name) => {
    expect(linux(path)).toEqual({ where, name })
  })

  test.each([
    [0x6969, 'NFS_SUPER_MAGIC'],
    [0x517b, 'SMB_SUPER_MAGIC'],
    [0xff534d42, 'CIFS_SUPER_MAGIC'],
    [0xfe534d42, 'SMB2_SUPER_MAGIC'],
    [0x01021997, 'V9FS_MAGIC'],
    [0x00c36400, 'CEPH_SUPER_MAGIC'],
    [0x5346414f, 'AFS_SUPER_MAGIC'],
    [0x73757245, 'CODA_SUPER_MAGIC'],
  ])('f_type 0x%s (%s) is enough, also where the list of mounts cannot be read', (type) => {
    expect(linux('/somewhere', { type, mounts: null }).where).toBe('network')
    // a 32-bit system hands the number over with its sign
    expect(linux('/somewhere', { type: type | 0, mounts: null }).where).toBe('network')
  })

  test.each([
    [0xef53, 'EXT4_SUPER_MAGIC'],
    [0x9123683e, 'BTRFS_SUPER_MAGIC'],
    [0x01021994, 'TMPFS_MAGIC'],
    [0x4d44, 'MSDOS_SUPER_MAGIC'],
    [0x58465342, 'XFS_SUPER_MAGIC'],
    [0x794c7630, 'OVERLAYFS_SUPER_MAGIC'],
  ])('f_type 0x%s (%s) is a drive of this computer', (type) => {
    expect(linux('/somewhere', { type, mounts: null }).where).toBe('here')
  })

  test('FUSE without a list of mounts may come from anywhere', () => {
    expect(linux('/somewhere', { type: 0x65735546, mounts: null }).where).toBe('unknown')
  })
})

describe('macOS', () => {
  const mounts = [
    '/dev/disk3s1s1 on / (apfs, sealed, local, read-only, journaled)',
    '/dev/disk3s5 on /System/Volumes/Data (apfs, local, journaled, nobrowse, protect)',
    '/dev/disk5s1 on /Volumes/CARD (exfat, local, nodev, nosuid, noowners)',
    '//wren@bench/racks on /Volumes/racks (smbfs, nodev, nosuid, mounted by wren)',
    'bench:/export on /Volumes/My Export (nfs, nodev, nosuid, mounted by wren)',
    'something on /Volumes/odd (macfuse, nodev, nosuid, synchronous, mounted by wren)',
  ].join('\n')
  test.each([
    ['/Users/wren/racks', 'here'],
    ['/Volumes/CARD/rack', 'here'],
    ['/Volumes/racks/wall', 'network'],
    ['/Volumes/My Export/wall', 'network'],
    ['/Volumes/odd/wall', 'unknown'],
  ])('%s: %s', (path, where) => {
    expect(fileSystemOf({ platform: 'darwin', path, type: 26, mounts }).where).toBe(where)
  })
})

describe('Windows', () => {
  const netUse = [
    'New connections will be remembered.',
    '',
    'Status       Local     Remote                    Network',
    '-------------------------------------------------------------------------------',
    'OK           Z:        \\\\bench\\racks            Microsoft Windows Network',
    'Nicht verf.  Y:        \\\\bench\\office           Microsoft Windows-Netzwerk',
    'The command completed successfully.',
  ].join('\r\n')
  const windows = (path: string, mounts: string | null = netUse) =>
    fileSystemOf({ platform: 'win32', path, type: 0, mounts }).where
  test.each([
    ['C:\\Users\\Wren\\racks', 'here'],
    ['\\\\?\\C:\\Users\\Wren\\racks', 'here'],
    ['\\\\bench\\racks\\wall', 'network'],
    ['\\\\?\\UNC\\bench\\racks\\wall', 'network'],
    ['//bench/racks/wall', 'network'],
    ['Z:\\wall', 'network'],
    ['y:\\wall', 'network'],
    ['D:\\wall', 'here'],
  ])('%s: %s', (path, where) => {
    expect(windows(path)).toBe(where)
  })
})
