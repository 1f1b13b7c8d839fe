# The program is one static binary with everything it serves inside, so the final
# image holds nothing else. It needs neither certificates nor /tmp.
FROM golang:1.26 AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
RUN CGO_ENABLED=0 go build -trimpath -o /out/slotcast ./server
# A volume takes its owner from the folder in the image.
RUN mkdir /out/data

FROM scratch
COPY --from=build /out/slotcast /slotcast
COPY --from=build --chown=65532:65532 /out/data /data
# A number, because there is no /etc/passwd to look a name up in.
USER 65532:65532
VOLUME /data
ENV SLOTCAST_LISTEN=0.0.0.0:8080 \
    SLOTCAST_DATABASE=/data/slotcast.db
EXPOSE 8080
ENTRYPOINT ["/slotcast"]
