/* Notes every write, flush and renaming below one folder, in the order in which they happen.

   Loaded before the C library (LD_PRELOAD) by tests/crash/test_power_cut.py, which then works out what a disk would
   hold after a power cut. NOTED_FOLDER names the folder, NOTED_IN the file of the notes. A note: its kind, the length of
   the path, an offset, the length of the data (64 bits each), path, data. */

#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/uio.h>
#include <unistd.h>

enum { WRITE = 1, TRUNCATE, FLUSH, UNLINK, RENAME };

static pthread_mutex_t turn = PTHREAD_MUTEX_INITIALIZER;

static void note(uint64_t kind, const char *path, uint64_t offset, const void *data, uint64_t length)
{
    static int notes = -1;
    const char *folder = getenv("NOTED_FOLDER"), *in = getenv("NOTED_IN");
    if (folder == NULL || in == NULL || strncmp(path, folder, strlen(folder)) != 0)
        return;
    uint64_t head[4] = {kind, strlen(path), offset, length};
    struct iovec parts[3] = {{head, sizeof head}, {(void *)path, head[1]}, {(void *)data, length}};
    if (notes < 0)
        notes = open(in, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    if (writev(notes, parts, 3) != (ssize_t)(sizeof head + head[1] + length))
        abort();
}

static const char *path_of(int file)
{
    static __thread char path[4096];
    char link[64];
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    ssize_t length = readlink(link, path, sizeof path - 1);
    path[length < 0 ? 0 : length] = 0;
    return path;
}

#define REAL(name) __typeof__(name) *real = (__typeof__(name) *)dlsym(RTLD_NEXT, #name)
#define IN_TURN(type, call, noted)                                                                                    \
    pthread_mutex_lock(&turn);                                                                                         \
    type answer = call;                                                                                                \
    if (answer >= 0)                                                                                                   \
        noted;                                                                                                         \
    pthread_mutex_unlock(&turn);                                                                                       \
    return answer

#define PWRITE(name)                                                                                                   \
    ssize_t name(int file, const void *data, size_t length, off_t offset)                                             \
    {                                                                                                                  \
        REAL(name);                                                                                                    \
        IN_TURN(ssize_t, real(file, data, length, offset), note(WRITE, path_of(file), offset, data, answer));          \
    }
PWRITE(pwrite)
PWRITE(pwrite64)

ssize_t write(int file, const void *data, size_t length)
{
    REAL(write);
    IN_TURN(ssize_t, real(file, data, length),
            note(WRITE, path_of(file), lseek(file, 0, SEEK_CUR) - answer, data, answer));
}

#define FTRUNCATE(name)                                                                                                \
    int name(int file, off_t length)                                                                                   \
    {                                                                                                                  \
        REAL(name);                                                                                                    \
        IN_TURN(int, real(file, length), note(TRUNCATE, path_of(file), length, NULL, 0));                              \
    }
FTRUNCATE(ftruncate)
FTRUNCATE(ftruncate64)

#define SYNC(name)                                                                                                     \
    int name(int file)                                                                                                 \
    {                                                                                                                  \
        REAL(name);                                                                                                    \
        IN_TURN(int, real(file), note(FLUSH, path_of(file), 0, NULL, 0));                                              \
    }
SYNC(fsync)
SYNC(fdatasync)

int unlink(const char *path)
{
    REAL(unlink);
    IN_TURN(int, real(path), note(UNLINK, path, 0, NULL, 0));
}

int rename(const char *from, const char *to)
{
    REAL(rename);
    IN_TURN(int, real(from, to), note(RENAME, from, 0, to, strlen(to)));
}
