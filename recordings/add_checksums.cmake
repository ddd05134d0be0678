# Puts each recording's checksum into the manifest: cmake -D FOLDER=... -P add_checksums.cmake
file(READ ${FOLDER}/MANIFEST.md manifest)
file(GLOB recordings RELATIVE ${FOLDER} ${FOLDER}/*.flac)
foreach(recording ${recordings})
  file(SHA256 ${FOLDER}/${recording} checksum)
  string(REPLACE "@SHA256 ${recording}@" "${checksum}" manifest "${manifest}")
endforeach()
file(WRITE ${FOLDER}/MANIFEST.md "${manifest}")
