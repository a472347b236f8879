/* A preload that lets the nth call that changes the disk fail, or ends the
 * program there. What it counts are calls on paths and on files that were
 * opened; the standard streams are left alone.
 *
 * FAULT_NTH   which call, from 1; 0 counts alone
 * FAULT_KIND  kill, torn (half of a write, then the end), or the number of an
 *             error
 * FAULT_STAYS set: every later call fails too, as on a full disk
 * FAULT_COUNT the file that gets the number of calls at the end
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

static atomic_long count;
static long nth = -1;
static int failure;
static int torn;
static int stays;

__attribute__((constructor)) static void begin(void) {
    const char *text = getenv("FAULT_NTH");
    const char *kind = getenv("FAULT_KIND");
    nth = text ? atol(text) : 0;
    torn = kind && strcmp(kind, "torn") == 0;
    failure = kind ? atoi(kind) : 0;
    stays = getenv("FAULT_STAYS") != NULL;
}

__attribute__((destructor)) static void end(void) {
    const char *file = getenv("FAULT_COUNT");
    FILE *out = file ? fopen(file, "w") : NULL;
    if (out) {
        fprintf(out, "%ld\n", atomic_load(&count));
        fclose(out);
    }
}

/* Whether this call fails; a kill does not return. */
static int fails(void) {
    long at = atomic_fetch_add(&count, 1) + 1;
    if (nth < 1 || at < nth || (at > nth && !stays)) return 0;
    if (failure == 0 && !torn) kill(getpid(), SIGKILL);
    if (torn) return 1;
    errno = failure;
    return 1;
}

#define REAL(name) \
    static __typeof__(&name) real; \
    if (!real) real = (__typeof__(&name))dlsym(RTLD_NEXT, #name)

#define WRITE(name, parameters, arguments, half) \
    ssize_t name parameters { \
        REAL(name); \
        if (fd <= 2 || !fails()) return real arguments; \
        if (torn) { \
            real half; \
            kill(getpid(), SIGKILL); \
        } \
        return -1; \
    }

WRITE(write, (int fd, const void *bytes, size_t size), (fd, bytes, size), (fd, bytes, size / 2))
WRITE(pwrite, (int fd, const void *bytes, size_t size, off_t at), (fd, bytes, size, at), (fd, bytes, size / 2, at))
WRITE(pwrite64, (int fd, const void *bytes, size_t size, off64_t at), (fd, bytes, size, at), (fd, bytes, size / 2, at))

#define PLAIN(name, parameters, arguments) \
    int name parameters { \
        REAL(name); \
        if (!fails()) return real arguments; \
        if (torn) kill(getpid(), SIGKILL); \
        return -1; \
    }

PLAIN(fsync, (int fd), (fd))
PLAIN(fdatasync, (int fd), (fd))
PLAIN(sync_file_range, (int fd, off64_t at, off64_t size, unsigned int flags), (fd, at, size, flags))
PLAIN(ftruncate, (int fd, off_t size), (fd, size))
PLAIN(ftruncate64, (int fd, off64_t size), (fd, size))
PLAIN(rename, (const char *from, const char *to), (from, to))
PLAIN(unlink, (const char *path), (path))
PLAIN(mkdir, (const char *path, mode_t mode), (path, mode))
PLAIN(rmdir, (const char *path), (path))

/* Opening to write or to make a file; reading is not counted. */
#define OPEN(name) \
    int name(const char *path, int flags, ...) { \
        REAL(name); \
        mode_t mode = 0; \
        if (flags & (O_CREAT | O_TMPFILE)) { \
            va_list more; \
            va_start(more, flags); \
            mode = va_arg(more, mode_t); \
            va_end(more); \
        } \
        if ((flags & (O_WRONLY | O_RDWR | O_CREAT)) && strncmp(path, "/dev/", 5) && fails()) { \
            if (torn) kill(getpid(), SIGKILL); \
            return -1; \
        } \
        return real(path, flags, mode); \
    }

OPEN(open)
OPEN(open64)
