; A recipe that has not been built here. On Windows, from the top of a checkout:
;   py -m venv build\venv && build\venv\Scripts\pip install . pyinstaller
;   build\venv\Scripts\pyinstaller --noconfirm --distpath build\dist --workpath build\work .ci\bundle\pegwright.spec
;   iscc .ci\bundle\windows.iss
; The installer needs no administrator, puts Pegwright into the start menu and opens .pegwright files with it.

#define Version "0.1.0"

[Setup]
AppId={{6C1B5C0B-3F0C-4C6B-9D5E-7A8E62B0C9D1}
AppName=Pegwright
AppVersion={#Version}
DefaultDirName={autopf}\Pegwright
DefaultGroupName=Pegwright
PrivilegesRequired=lowest
ChangesAssociations=yes
OutputDir=..\..\build
OutputBaseFilename=pegwright-{#Version}-windows
LicenseFile=..\..\app\resources\licences\LICENCE.txt
Compression=lzma2
SolidCompression=yes

[Files]
Source: "..\..\build\dist\pegwright\*"; DestDir: "{app}"; Flags: recursesubdirs ignoreversion

[Icons]
Name: "{group}\Pegwright"; Filename: "{app}\pegwright-window.exe"

[Registry]
Root: HKA; Subkey: "Software\Classes\.pegwright"; ValueType: string; ValueData: "Pegwright.Head"; Flags: uninsdeletevalue
Root: HKA; Subkey: "Software\Classes\Pegwright.Head"; ValueType: string; ValueData: "Head of an instrument"; Flags: uninsdeletekey
Root: HKA; Subkey: "Software\Classes\Pegwright.Head\shell\open\command"; ValueType: string; ValueData: """{app}\pegwright-window.exe"" ""%1"""
